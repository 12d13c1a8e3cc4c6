"""Keep a hang as it was: who must leave, and where, so that least is disturbed."""
