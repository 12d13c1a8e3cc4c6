"""The words by which headings of lists name a field, in six languages, folded."""

ALIASES: dict[str, str] = {
    "number": (
        "object number|object no|object nr|object id|number|no|nr|id|inventory number|inventory no"
        "|inv no|inv nr|inv|accession number|accession no|acc no|registration number|reg no"
        "|museum number|catalogue number|cat no|ref|reference|identifier|item number|item no"
        "|objektnummer|objektnr|objekt nr|inventarnummer|inventarnr|inventar nr|inv nummer|nummer"
        "|signatur|numero|numero d inventaire|no d inventaire|n inventaire|no inv|n d inventaire"
        "|numero d objet|cote|numero de inventario|n inventario|num inventario|no de inventario"
        "|numero de objeto|inventarisnummer|inventarisnr|objectnummer|objectnr"
        "|numero di inventario|numero inventario|n inv|num inv|numero oggetto"
    ),
    "title": (
        "title|object title|name|object title or name|work|titel|objekttitel|bezeichnung|benennung"
        "|titre|intitule|designation|titulo|denominacion|nombre|benaming|titolo|denominazione|nome"
    ),
    "object_type": (
        "object type|type|object name|kind|category|classification|class|genre|objektart|art"
        "|objekttyp|gattung|sachgruppe|typ|type d objet|categorie|domaine|tipo|tipo de objeto"
        "|categoria|clase|objecttype|soort|objectnaam|soort object|tipo oggetto|tipologia|classe"
    ),
    "maker": (
        "maker|artist|author|creator|manufacturer|made by|designer|maker or artist|artist maker"
        "|hersteller|kunstler|kunstlerin|urheber|verfasser|kunstler in|fabricant|auteur|artiste"
        "|createur|autor|autora|artista|fabricante|vervaardiger|kunstenaar|maker kunstenaar"
        "|autore|artefice|costruttore|fabbricante"
    ),
    "date_text": (
        "date|dating|date made|date of making|production date|period|datierung|datum|entstehung"
        "|entstehungszeit|herstellungsdatum|datation|date de creation|date de fabrication|periode"
        "|epoque|fecha|datacion|epoca|cronologia|datering|vervaardigingsdatum|data|datazione"
    ),
    "year_from": (
        "earliest year|year from|from year|earliest|date from|start year|jahr von|von jahr|beginn"
        "|fruhestes jahr|annee debut|annee min|ano desde|ano inicial|jaar van|beginjaar"
        "|anno da|anno iniziale"
    ),
    "year_to": (
        "latest year|year to|to year|latest|date to|end year|jahr bis|bis jahr|ende|spatestes jahr"
        "|annee fin|annee max|ano hasta|ano final|jaar tot|eindjaar|anno a|anno finale"
    ),
    "place": (
        "place|place made|place of making|origin|place of origin|production place|ort|herkunft"
        "|entstehungsort|herstellungsort|lieu|lieu de creation|lieu de fabrication|provenance"
        "|origine|lugar|lugar de origen|procedencia|plaats|plaats van vervaardiging|herkomst"
        "|luogo|luogo di produzione|provenienza"
    ),
    "materials": (
        "materials|material|medium|media|material technique|materials and technique"
        "|material and technique|medium support|materialien|material technik|materiaux|matiere"
        "|matieres|materiaux et techniques|matieriaux|materiales|materiales y tecnica|materiaal"
        "|materialen|materiaal techniek|materiali|materia|materiale|materia e tecnica"
    ),
    "technique": "technique|techniques|process|technik|herstellungstechnik|tecnica|tecnicas"
    "|techniek|technieken|tecniche",
    "inscriptions": (
        "inscriptions|inscription|signature|marks|inscriptions and marks|inschrift|inschriften"
        "|beschriftung|bezeichnet|inscripciones|inscripcion|opschrift|opschriften|iscrizioni"
        "|iscrizione|marques"
    ),
    "features": (
        "distinguishing features|features|identifying marks|besondere merkmale|merkmale"
        "|signes distinctifs|particularites|rasgos distintivos|senas particulares"
        "|bijzondere kenmerken|kenmerken|segni distintivi|caratteristiche"
    ),
    "description": (
        "description|brief description|text|summary|beschreibung|kurzbeschreibung|descriptif"
        "|descripcion|beschrijving|omschrijving|descrizione"
    ),
    "credit_line": (
        "credit line|credit|credits|courtesy line|bildnachweis|creditline|leihgabenvermerk|nachweis"
        "|mention obligatoire|ligne de credit|mention|linea de credito|creditos|herkomstvermelding"
        "|credito|linea di credito"
    ),
    "lender": (
        "lender|owner|lender or owner|owner or lender|lending institution|lent by|collection"
        "|leihgeber|leihgeberin|eigentumer|besitzer|leihgeber in|preteur|proprietaire|prestador"
        "|propietario|prestatario|bruikleengever|eigenaar|prestatore|proprietario"
    ),
    "value": (
        "insurance value|value|insured value|insurance|valuation|amount|versicherungswert|wert"
        "|versicherungssumme|valeur d assurance|valeur|valeur assurance|valor de seguro|valor"
        "|valor del seguro|verzekeringswaarde|waarde|valore assicurativo|valore"
    ),
    "currency": "currency|value currency|insurance currency|wahrung|devise|monnaie|moneda|divisa"
    "|valuta|munteenheid",
    "hazards": (
        "hazards|hazard|hazardous materials|gefahren|gefahrstoffe|gefahrdung|risques|dangers|danger"
        "|peligros|riesgos|gevaren|gevaarlijke stoffen|pericoli|rischi"
    ),
    "hazard_note": "hazard note|hazard notes|note on hazards|gefahrenhinweis|note risques"
    "|nota de peligro|gevarennotitie|nota pericoli",
    "restricted_materials": (
        "restricted materials|restricted|cites|cites materials|protected species|permit materials"
        "|artenschutz|geschutzte materialien|materiaux reglementes|especes protegees"
        "|materiales restringidos|especies protegidas|beschermde materialen|materiali protetti"
    ),
    "max_lux": (
        "light limit|max lux|maximum lux|lux|light level|light|illuminance|lux limit|lux max"
        "|lichtgrenze|beleuchtungsstarke|max beleuchtung|lumiere|eclairement|lux maximum"
        "|limite de luz|iluminancia|luz|lichtniveau|maximale lux|verlichtingssterkte"
        "|limite di luce|illuminamento|luce"
    ),
    "size": (
        "size|dimensions|dim|size as stated|dimensions as stated|measurements|stated size"
        "|size and weight|dimension|size or dimensions|h x w x d|hxwxd|h x w|hxw|dimensions hxwxd"
        "|masse|abmessungen|grosse|masse hxbxt|hxbxt|h x b x t|mesures|format|medidas|dimensiones"
        "|tamano|afmetingen|maten|formaat|dimensioni|misure"
    ),
    "size_measured": (
        "size as measured|measured size|dimensions as measured|measured dimensions|size measured"
        "|gemessene masse|dimensions mesurees|medidas tomadas|gemeten afmetingen|misure rilevate"
    ),
    "size_framed": (
        "framed size|framed dimensions|dimensions framed|size framed|frame|frame size|with frame"
        "|framed mounted size|rahmenmasse|masse gerahmt|masse mit rahmen|rahmen|rahmenmass"
        "|dimensions avec cadre|dimensions encadre|cadre|medidas con marco|marco|medidas enmarcado"
        "|afmetingen met lijst|lijst|lijstmaat|dimensioni con cornice|cornice"
    ),
    "height": "height|h|ht|object height|hohe|hauteur|alto|altura|hoogte|altezza",
    "width": "width|w|wd|object width|breite|b|largeur|ancho|anchura|breedte|larghezza|length|l"
    "|lange|longueur|largo|longitud|lengte|lunghezza",
    "depth": "depth|d|thickness|object depth|tiefe|t|profondeur|epaisseur|fondo|profundidad|diepte"
    "|dikte|profondita|spessore",
    "diameter": "diameter|diam|dia|o|durchmesser|diametre|diametro",
    "weight": "weight|mass|object weight|gewicht|poids|masse kg|peso|massa",
    "measured_as": (
        "measured as|measured state|size is|frame state|gemessen als|mesure comme|medido como"
        "|gemeten als|misurato come"
    ),
    "basis": "stated or measured|basis|size basis|angegeben oder gemessen|indique ou mesure",
    "stage": "stage|status|selection|selection status|auswahl|stand|statut|estado|etapa|fase|stato",
    "reason": "reason|reason for withdrawing|grund|raison|motif|motivo|reden",
    "section": "section|chapter|theme|room|group|abschnitt|kapitel|bereich|thema|section no|partie"
    "|chapitre|seccion|capitulo|tema|sectie|hoofdstuk|sezione|capitolo",
    "position": "order|sequence|position|list no|running no|reihenfolge|lfd nr|laufende nummer"
    "|ordre|orden|volgorde|volgnummer|ordine",
    "shown_on": "shown on|show on|display|display type|where|prasentation|aufstellung|presentation"
    "|exposicion|presentatie|esposizione",
    "note": "note|notes|remark|remarks|comment|comments|bemerkung|bemerkungen|anmerkung|kommentar"
    "|remarque|remarques|commentaire|nota|notas|observaciones|comentario|opmerking|opmerkingen"
    "|osservazioni|commento|commenti",
}
LEFT_OUT = "row of the list|why it was refused"


def field_by_heading() -> dict[str, str]:
    """Return the field that each folded heading names; the first field to claim one keeps it."""
    found: dict[str, str] = {}
    for field, words in ALIASES.items():
        for word in words.split("|"):
            found.setdefault(word, field)
    return found
