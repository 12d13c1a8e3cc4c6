"""Read object lists safely: what a file is, where its headings stand, and its rows one by one."""
