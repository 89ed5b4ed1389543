//! German. The terms of the trade are common practice, no source.

use super::Glossary;

pub(super) static GLOSSARY: Glossary = Glossary {
    measures: &[
        (
            "height",
            "Körpergröße",
            "Barfuß an der Wand, Fersen zusammen, Blick geradeaus; vom Boden bis zum Scheitel.",
        ),
        (
            "waist",
            "Taille",
            "Ein schmales Band umbinden; es rutscht in die natürliche Taille. Ringsum messen, waagerecht und anliegend, am Ende eines ruhigen Ausatmens.",
        ),
        (
            "garment waist",
            "Bundweite",
            "Ringsum auf dieser Höhe, das Maßband waagerecht und anliegend.",
        ),
        (
            "garment waist drop",
            "Taille bis Bund",
            "Vom umgebundenen Band senkrecht hinab bis zur Höhe, auf der das Kleidungsstück sitzt, an der Seite.",
        ),
        (
            "front waist arc",
            "Taillenweite vorn",
            "In der Taille von Seitennaht zu Seitennaht über die Vorderseite. Vorn und hinten ergeben zusammen die Taille.",
        ),
        (
            "back waist arc",
            "Taillenweite hinten",
            "In der Taille von Seitennaht zu Seitennaht über den Rücken.",
        ),
        (
            "high hip",
            "Oberhüfte",
            "Waagerecht, 7,5 bis 10 cm (3 bis 4 Zoll) unter der Taille, über Hüftknochen und Bauch.",
        ),
        (
            "hip",
            "Hüfte",
            "Waagerecht um die stärkste Stelle, Füße zusammen. Bei rundem Bauch eine Karte flach davor halten, damit das Maßband ihn mitnimmt. Notieren, wie tief gemessen wurde.",
        ),
        (
            "front hip arc",
            "Hüftweite vorn",
            "Auf Hüfthöhe von Seitennaht zu Seitennaht über die Vorderseite. Vorn und hinten ergeben zusammen die Hüfte.",
        ),
        (
            "back hip arc",
            "Hüftweite hinten",
            "Auf Hüfthöhe von Seitennaht zu Seitennaht über das Gesäß.",
        ),
        (
            "padded hip",
            "Hüfte mit Polster",
            "Über den Polstern, die sie tragen wird, waagerecht, an der stärksten Stelle. Die natürliche Hüfte muss auch auf der Karte stehen.",
        ),
        (
            "seated hip",
            "Hüfte im Sitzen",
            "Um die stärkste Stelle, während sie auf einem harten Hocker sitzt. So viel wie die Hüfte oder bis zu 13 cm (5 Zoll) mehr.",
        ),
        (
            "thigh",
            "Oberschenkel",
            "Ein Bein, gleich unter dem Schritt, in der Gesäßfalte, rechtwinklig zum Bein.",
        ),
        (
            "lower thigh",
            "Oberschenkel über dem Knie",
            "Ein Bein, waagerecht, an der Oberkante der Kniescheibe, etwa 5 cm (2 Zoll) über ihrer Mitte.",
        ),
        (
            "both thighs",
            "Beide Oberschenkel",
            "Um beide Beine, 30 cm (12 Zoll) unter der Taille: die Probe für einen engen Rock.",
        ),
        (
            "knee",
            "Knie",
            "Ein Bein, über die Mitte der Kniescheibe, im Stehen.",
        ),
        (
            "bent knee",
            "Gebeugtes Knie",
            "Wie das Knie, das Bein im rechten Winkel gebeugt. So viel wie das Knie oder bis zu 5 cm (2 Zoll) mehr.",
        ),
        (
            "both knees",
            "Beide Knie",
            "Um beide Knie, die Beine geschlossen. Etwa das 1,64-Fache eines Knies.",
        ),
        (
            "calf",
            "Wade",
            "Ein Bein, an der stärksten Stelle der Wade.",
        ),
        (
            "both calves",
            "Beide Waden",
            "Um beide Waden an der stärksten Stelle, die Beine geschlossen: für Humpelröcke.",
        ),
        (
            "ankle",
            "Fessel",
            "Ein Bein, an der schmalsten Stelle gleich über dem Knöchel.",
        ),
        (
            "waist to hip",
            "Taille bis Hüfte",
            "Von der Unterkante des umgebundenen Bandes bis zu der Höhe, auf der die Hüfte gemessen wurde, am Körper entlang an der Seite. Nie aus einer Tabelle nehmen.",
        ),
        (
            "front waist to hip",
            "Taille bis Hüfte, vorn",
            "Vom umgebundenen Band bis zur Hüfthöhe, am Körper entlang in der vorderen Mitte.",
        ),
        (
            "back waist to hip",
            "Taille bis Hüfte, hinten",
            "Vom umgebundenen Band bis zur Hüfthöhe, am Körper entlang in der hinteren Mitte.",
        ),
        (
            "waist to knee",
            "Taille bis Knie",
            "Vom umgebundenen Band senkrecht hinab bis zur Mitte der Kniescheibe, im Stehen.",
        ),
        (
            "front waist to knee",
            "Taille bis Knie, vorn",
            "Vom umgebundenen Band vorn hinab bis zur Mitte der Kniescheibe.",
        ),
        (
            "back waist to knee",
            "Taille bis Kniekehle, hinten",
            "Vom umgebundenen Band hinten über das Gesäß bis zur Falte der Kniekehle. Nie kürzer als vorn.",
        ),
        (
            "hip to knee",
            "Hüfte bis Knie",
            "An der Seite, von der Hüfthöhe senkrecht hinab bis zur Höhe der Mitte der Kniescheibe.",
        ),
        (
            "waist to ankle",
            "Taille bis Knöchel",
            "An der Seite, vom umgebundenen Band am Körper entlang bis zur Hüfte, dann senkrecht hinab bis zum Knöchel.",
        ),
        (
            "waist to floor",
            "Taille bis Boden",
            "In Schuhen, an der Seite: das Maßband folgt dem Körper bis zur Hüfte, dann hängt es bis zum Boden. Beide Seiten messen.",
        ),
        (
            "left waist to floor",
            "Taille bis Boden, links",
            "Wie Taille bis Boden, an ihrer linken Seite. Weichen die Seiten um mehr als 1 cm (3/8 Zoll) voneinander ab, getrennt zeichnen.",
        ),
        (
            "right waist to floor",
            "Taille bis Boden, rechts",
            "Wie Taille bis Boden, an ihrer rechten Seite.",
        ),
        (
            "front waist to floor",
            "Taille bis Boden, vorn",
            "In Schuhen, in der vorderen Mitte: über den Bauch, dann hängend bis zum Boden.",
        ),
        (
            "back waist to floor",
            "Taille bis Boden, hinten",
            "In Schuhen, in der hinteren Mitte: über das Gesäß, dann hängend bis zum Boden.",
        ),
        (
            "hip joint to floor",
            "Hüftgelenk bis Boden",
            "In Schuhen: ihr Knie anheben und an der Seite der Hüfte den Knochen ertasten, der an seinem Platz bleibt; von dort senkrecht hinab.",
        ),
        (
            "hip to floor",
            "Hüfte bis Boden",
            "In Schuhen, von der Höhe, auf der die Hüfte gemessen wurde, senkrecht hinab bis zum Boden.",
        ),
        (
            "crotch height",
            "Schritthöhe",
            "In Schuhen, Füße etwas auseinander, vom Schritt senkrecht hinab bis zum Boden.",
        ),
        (
            "thigh to floor",
            "Oberschenkel bis Boden",
            "In Schuhen, von der Gesäßfalte, wo der Oberschenkel gemessen wird, senkrecht hinab.",
        ),
        (
            "knee to floor",
            "Knie bis Boden",
            "In Schuhen, im Stehen, von der Mitte der Kniescheibe senkrecht hinab bis zum Boden.",
        ),
        (
            "calf to floor",
            "Wade bis Boden",
            "In Schuhen, von der stärksten Stelle der Wade senkrecht hinab.",
        ),
        (
            "ankle to floor",
            "Knöchel bis Boden",
            "In Schuhen, vom äußeren Knöchel senkrecht hinab.",
        ),
        (
            "heel",
            "Absatz",
            "Neben dem Schuh, vom Boden bis dorthin, wo ihre Ferse aufliegt; ein Plateau zählt mit. 0, wenn sie barfuß oder flach geht.",
        ),
        (
            "body rise",
            "Sitzhöhe",
            "Sie sitzt auf einem harten Stuhl: an der Seite, vom umgebundenen Band bis zur Sitzfläche.",
        ),
        (
            "crotch length",
            "Schrittbogen",
            "Vom umgebundenen Band in der vorderen Mitte zwischen den Beinen hindurch bis zum Band in der hinteren Mitte.",
        ),
        (
            "stride",
            "Schrittweite",
            "Von Ferse zu Ferse, so wie sie in dem Kleidungsstück gehen möchte.",
        ),
        (
            "stair",
            "Stufe",
            "Die Höhe einer Treppenstufe, einer Bordsteinkante oder der Stufe zu einer Bühne.",
        ),
        (
            "train",
            "Schleppe",
            "Auf dem Boden, in Schuhen, hinter der Ferse in der hinteren Mitte.",
        ),
        (
            "bust",
            "Brust",
            "Waagerecht über die stärkste Stelle und über die Schulterblätter, Arme hängend.",
        ),
        (
            "high bust",
            "Oberbrust",
            "Gerade über der Brust, das Maßband hoch unter den Armen und am Rücken waagerecht.",
        ),
        (
            "underbust",
            "Unterbrust",
            "Unmittelbar unter der Brust, anliegend, ausgeatmet.",
        ),
        (
            "front bust arc",
            "Brustweite vorn",
            "Auf Brusthöhe von Seitennahtlinie zu Seitennahtlinie über die Vorderseite. Vorn und hinten ergeben zusammen die Brust.",
        ),
        (
            "back bust arc",
            "Brustweite hinten",
            "Auf Brusthöhe von Seitennahtlinie zu Seitennahtlinie über den Rücken.",
        ),
        (
            "bust span",
            "Abstand der Brustpunkte",
            "Gerade hinüber, von Brustpunkt zu Brustpunkt.",
        ),
        (
            "shoulder to bust",
            "Schulter bis Brustpunkt",
            "Von dort, wo die Schulternaht auf den Hals trifft, hinab bis zum Brustpunkt.",
        ),
        (
            "shoulder to underbust",
            "Schulter bis Unterbrust",
            "Vom Halspunkt über den Brustpunkt bis unmittelbar unter die Brust.",
        ),
        (
            "shoulder to waist",
            "Schulter bis Taille",
            "Vom Halspunkt über den Brustpunkt hinab bis zum umgebundenen Band.",
        ),
        (
            "front waist length",
            "Taillenlänge vorn",
            "Von der Halsgrube am Körper entlang hinab bis zum umgebundenen Band.",
        ),
        (
            "back waist length",
            "Rückenlänge",
            "Vom Halswirbel (beim Vorbeugen des Kopfes tritt er hervor) den Rücken entlang hinab bis zum umgebundenen Band.",
        ),
        (
            "across chest",
            "Brustbreite",
            "Vorn von Armloch zu Armloch, 7,5 cm (3 Zoll) unter der Halsgrube.",
        ),
        (
            "across back",
            "Rückenbreite",
            "Hinten, 10 bis 13 cm (4 bis 5 Zoll) unter dem Halswirbel, von Armfalte zu Armfalte, die Arme leicht nach vorn.",
        ),
        (
            "shoulder",
            "Schulterbreite",
            "Vom Halspunkt die Schulter entlang bis zum Schulterknochen.",
        ),
        (
            "shoulder slope",
            "Schulterneigung",
            "Der Winkel zwischen einer Waagerechten am Halspunkt und der Schulter.",
        ),
        (
            "front shoulder diagonal",
            "Schulterschräge vorn",
            "Vom umgebundenen Band in der vorderen Mitte schräg hinauf bis zum Schulterknochen: daraus ergibt sich die Neigung der Schulter.",
        ),
        (
            "back shoulder diagonal",
            "Schulterschräge hinten",
            "Vom umgebundenen Band in der hinteren Mitte schräg hinauf bis zum Schulterknochen.",
        ),
        (
            "armhole depth",
            "Armlochtiefe",
            "Vom Halswirbel die hintere Mitte hinab bis zu einem Maßband, das waagerecht unter den Armen gehalten wird.",
        ),
        (
            "armhole",
            "Armloch",
            "Über den Schulterknochen und unter dem Arm herum, Arm hängend.",
        ),
        (
            "neck",
            "Hals",
            "Um den Halsansatz, durch die Halsgrube und über den Halswirbel.",
        ),
        (
            "upper arm",
            "Oberarm",
            "Um die stärkste Stelle des Oberarms, locker.",
        ),
        (
            "elbow",
            "Ellenbogen",
            "Um den gebeugten Ellenbogen, locker.",
        ),
        ("wrist", "Handgelenk", "Um den Handgelenkknochen, locker."),
        (
            "sleeve length",
            "Ärmellänge",
            "Vom Schulterknochen über den gebeugten Ellenbogen bis zum Handgelenk.",
        ),
        (
            "underarm sleeve length",
            "Ärmellänge innen",
            "Von der Achsel gerade bis zum Handgelenk.",
        ),
        (
            "side length",
            "Seitenlänge",
            "Von 2,5 cm (1 Zoll) unter der Achselhöhle hinab bis zum umgebundenen Band.",
        ),
        (
            "top edge",
            "Oberkante",
            "Anliegend, auf der Höhe, auf der die Oberkante sitzen wird.",
        ),
        (
            "hollow to floor",
            "Halsgrube bis Boden",
            "In Schuhen, von der Halsgrube vorn hinab bis zum Boden.",
        ),
        (
            "shoulder to floor",
            "Schulter bis Boden",
            "In Schuhen, vom Halspunkt über den Brustpunkt, dann hängend bis zum Boden.",
        ),
    ],
    cloths: &[
        ("shell", "Oberstoff"),
        ("lining", "Futter"),
        ("interlining", "Einlage"),
        ("net", "Tüll"),
    ],
    cautions: &[
        (
            "Stairs: lift the front, hold the rail, one step at a time.",
            "Treppen: vorn anheben, Geländer halten, Stufe für Stufe.",
        ),
        (
            "Hook the train up before dancing and in a crowd.",
            "Die Schleppe vor dem Tanzen und im Gedränge hochhaken.",
        ),
        (
            "Escalators, lifts, doors of trains: carry the hem, clear of the sides and the comb plates; stand in mid-step.",
            "Rolltreppen, Aufzüge, Zugtüren: den Saum tragen, fern von Seitenwänden und Kammplatten; mitten auf der Stufe stehen.",
        ),
        (
            "Keep the train away from candles, hobs and sparklers.",
            "Die Schleppe von Kerzen, Kochstellen und Wunderkerzen fernhalten.",
        ),
        (
            "This cloth may burn fast: away from candles, hobs and sparklers. The fire rules where she lives come first.",
            "Dieser Stoff kann schnell brennen: fern von Kerzen, Kochstellen und Wunderkerzen. Die Brandschutzregeln an ihrem Wohnort gehen vor.",
        ),
        (
            "This cloth melts on to the skin when it burns: away from candles, hobs and sparklers.",
            "Dieser Stoff schmilzt beim Brennen auf die Haut: fern von Kerzen, Kochstellen und Wunderkerzen.",
        ),
        (
            "Tighter than she is: wear it for 20 minutes first. Numbness, heartburn or short breath: let it out. Not when expecting, nor with lung or heart trouble without her doctor.",
            "Enger als sie selbst: erst 20 Minuten tragen. Taubheit, Sodbrennen oder Atemnot: weiten. Nicht in der Schwangerschaft; bei Lungen- oder Herzleiden nicht ohne ihre Ärztin.",
        ),
        (
            "Driving: change the shoes and gather the hem, clear of the pedals.",
            "Autofahren: Schuhe wechseln und den Saum raffen, weg von den Pedalen.",
        ),
        (
            "Driving: change the shoes for low ones.",
            "Autofahren: flache Schuhe anziehen.",
        ),
        (
            "Driving: gather the hem, clear of the pedals.",
            "Autofahren: den Saum raffen, weg von den Pedalen.",
        ),
        (
            "No bicycle, fairground ride or treadmill in a hem this long.",
            "Kein Fahrrad, kein Fahrgeschäft, kein Laufband mit einem so langen Saum.",
        ),
        (
            "Heavy: hang it by loops inside, and let a waist stay carry it.",
            "Schwer: innen an Schlaufen aufhängen und von einem Taillenband tragen lassen.",
        ),
        (
            "A child under 7: no cord or tie at the neck; at the waist no loose end over 14 cm (in the US 3 in), none behind, none below the hem.",
            "Ein Kind unter 7: keine Kordel und kein Bindeband am Hals; an der Taille kein loses Ende über 14 cm (in den USA 3 Zoll), keines hinten, keines unter dem Saum.",
        ),
        (
            "A child under 14: no loose ends at the neck; at the waist none over 14 cm (in the US 3 in), none behind, none below the hem.",
            "Ein Kind unter 14: keine losen Enden am Hals; an der Taille keines über 14 cm (in den USA 3 Zoll), keines hinten, keines unter dem Saum.",
        ),
        (
            "Cutting: guard down on the rotary cutter after every cut, cut away from the body, shoes on; no pins in the mouth or on the mat.",
            "Zuschneiden: den Rollschneider nach jedem Schnitt sichern, vom Körper weg schneiden, Schuhe an; keine Nadeln im Mund oder auf der Matte.",
        ),
        (
            "Iron: stand it on its heel, steam away from the hands, unplug it.",
            "Bügeleisen: aufrecht abstellen, Dampf von den Händen weg, Stecker ziehen.",
        ),
    ],
};
