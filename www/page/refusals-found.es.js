// What was found in a refused file, in Spanish; see refusals.es.js.

/** What was found; what has no second part ends here. A line each: English|Spanish. */
export const FOUND = `
{a} is out of range|{a} está fuera de límites
the text has {a} characters|el texto tiene {a} caracteres
the yard's own procedure does not fit: {s}|el procedimiento del astillero no va: {s}
neither a weld nor a block|ni soldadura ni bloque
a welded plate is no block|una chapa soldada no es un bloque
{a} flaws|{a} imperfecciones
{a} mm/µs is too fast for longitudinal waves of {b} mm/µs|{a} mm/µs es demasiado rápido para ondas longitudinales de {b} mm/µs
a block has no flaws|un bloque no tiene imperfecciones
{a} of them|hay {a}
the arc has no extent|el arco no tiene extensión
has no extent|no tiene extensión
{a} mm from {b} mm ends at {c} mm, outside the plate|{a} mm desde {b} mm acaba en {c} mm, fuera de la chapa
a {a} has no width of its own|{a}: no tiene anchura propia
a {a} does not lean|{a}: no se inclina
a {a} does not branch|{a}: no se ramifica
a {a} has no roughness of its own|{a}: no tiene rugosidad propia
{a} mm long but {b} mm high|{a} mm de largo, pero {b} mm de alto
{a} mm is too short for a row of pores {b} mm high|{a} mm es poco para una fila de poros de {b} mm de alto
{a} mm is long for a slag inclusion of this section|{a} mm es mucho para una inclusión de escoria de esta sección
{a} mm along the weld is more than the {b} mm across|{a} mm a lo largo del cordón es más que los {b} mm a través
a {a} has no lower bevel|una unión {a} no tiene bisel inferior
a {a} has no lower cap|una unión {a} no tiene sobreespesor inferior
a {a} lies on a bevel|{a}: está en un bisel
a {a} lies between two runs|{a}: está entre dos pasadas
a {a} lies at the toe of a cap|{a}: está al pie de un sobreespesor
a {a} lies in the weld metal|{a}: está en el metal de soldadura
{a} lies at the root|{a}: está en la raíz
a cap ground flush has no toes|un sobreespesor enrasado no tiene pies
{a} mm is higher than {b}|{a} mm es más alto que {b}
no run of this groove has another on it|ninguna pasada de esta ranura tiene otra encima
{a} has no run with another on it|la capa {a} no tiene una pasada con otra encima
layer {a} has no run {b}|la capa {a} no tiene una pasada {b}
a {a} has no root at its face|una unión {a} no tiene la raíz en su cara
a root crack starts at a toe of the bead or in the middle|una grieta de raíz empieza a un pie del cordón o en el centro
the root bead covers the centre|el cordón de raíz tapa el centro
a flush root has no toes|una raíz enrasada no tiene pies
incomplete penetration lies on the root faces|la falta de penetración está en los talones
lack of root fusion lies on one root edge|la falta de fusión en la raíz está en un borde de la raíz
nothing of this flaw fits into its box|nada de esta imperfección cabe en su caja
reaches outside the plate|sale de la chapa
the flaw reaches {a} mm from the centreline on side {b} where there is room for {c} mm (at {d} mm depth)|la imperfección llega a {a} mm del eje en el lado {b}, donde hay sitio para {c} mm (a {d} mm de profundidad)
{a} mm leaves no room for a probe beside the weld|{a} mm no dejan sitio para un palpador junto al cordón
a {a} has none|una unión {a} no la tiene
misaligned edges need a root bead between them|unos bordes desalineados necesitan un cordón de raíz entre ellos
{a} undercuts|{a} mordeduras
side {a} has one already|el lado {a} ya tiene una
a {a} has no root bead|una unión {a} no tiene cordón de raíz
a root on a backing bar has no bead|una raíz con respaldo no tiene cordón
edges on a backing bar lie level|los bordes con respaldo están a nivel
the file is empty|el archivo está vacío
the file has {a} bytes|el archivo tiene {a} bytes
has {w} bytes|tiene {w} bytes
bytes that are no UTF-8 text|bytes que no son texto UTF-8
cannot be written as TOML: {a}|no se puede escribir como TOML: {a}
no value here|aquí no hay ningún valor
\`{a}\` is no number|\`{a}\` no es un número
\`{a}\` without quotes|\`{a}\` sin comillas
\`{a}\` stands here again|\`{a}\` está aquí otra vez
not TOML here: {a}|esto no es TOML: {a}
unknown key \`{a}\`|clave desconocida \`{a}\`
unknown word "{a}"|palabra desconocida "{a}"
the key \`{a}\` is missing|falta la clave \`{a}\`
the text "{a}" in quotes|el texto "{a}" entre comillas
floating point \`{a}\`|el número con decimales \`{a}\`
integer \`{a}\`|el número entero \`{a}\`
string "{a}"|el texto "{a}"
boolean \`{a}\`|el valor \`{a}\`
unit variant|una palabra sola
sequence|una lista
map|una tabla
not exactly one word in this table|no hay exactamente una palabra en esta tabla
neither a word nor a table|ni una palabra ni una tabla
this word stands alone|esta palabra va sola
a value by itself|un valor suelto
stands on a bench that has to be calibrated; its calibration tells beams by their angles|está en un banco que hay que calibrar, y la calibración distingue los haces por sus ángulos
stands beside focus_path_mm|está junto a focus_path_mm
gives more than {a} beams|da más de {a} haces
goes from {a} to {b}|va de {a} a {b}
is empty|está vacío
no sound of this wedge ({a} mm/µs) leaves at {b}°|ningún sonido de esta cuña ({a} mm/µs) sale a {b}°
the foremost active element's sound at {a}° would leave the foot {b} ahead of the front|el sonido del primer elemento activo a {a}° saldría de la cuña {b} por delante de su frente
begins at {a} mm, but the cap ends {b} from the centreline|empieza en {a} mm, pero el sobreespesor acaba a {b} del eje
ends at {a} mm; the wedge stands wholly on the plate up to {b}|acaba en {a} mm; la cuña está entera sobre la chapa hasta {b}
names flaw {a}, but the plate has {b}, counted from 0|nombra la imperfección {a}, pero la chapa tiene {b}, contados desde 0
an echo at the recording level of {a} stands at {b} of the screen while scanning|un eco en el nivel de registro de {a} está al {b} de la pantalla durante el barrido
no hand-in|no es una entrega
is a “{a}” of version {b}|es un «{a}» de la versión {b}
was changed after it was saved|se cambió después de guardarse
was changed after it was sealed|se cambió después de sellarse
the file was changed after it was sealed; ask for a fresh copy|el archivo se cambió después de sellarse; pide otra copia
log line {a}: {s}|línea {a} del registro: {s}
its log is no base64|su registro no es base64
its log cannot be unpacked|su registro no se puede desempaquetar
its session was not handed in|su sesión no se entregó
its probe slid {a} km|su palpador recorrió {a} km
used_ms is {a}, but its log ends at {b} ms|used_ms es {a}, pero su registro acaba en {b} ms
is of a recorded exam, which nobody can sign|es de un examen grabado, que nadie puede firmar
is of plate {a} ({b})|es de la chapa {a} ({b})
is for plate {a}|es para la chapa {a}
is too large|es demasiado grande
its signature is not that of this plate: it was changed, or sat at another copy|su firma no es la de esta chapa: se cambió, o se hizo con otra copia
this passphrase does not open the plate|esta contraseña no abre la chapa
a passphrase is too short|una contraseña es demasiado corta
both passphrases are the same|las dos contraseñas son iguales
the plate cannot be written as a file: {a}|la chapa no se puede escribir en un archivo: {a}
no sealed plate|no es una chapa sellada
has {a} calls|tiene {a} anotaciones
has more than {a} calls|tiene más de {a} anotaciones
not an answer sheet: {a}|no es una hoja de respuestas: {a}
not a table: {a}|no es una tabla: {a}
the row has {a} columns|la fila tiene {a} columnas
no column is called “{a}”|ninguna columna se llama «{a}»
the column {a} is there twice|la columna {a} está dos veces
has no columns|no tiene columnas
is not UTF-8 text|no es texto UTF-8
{a} is “{b}”|{a} es «{b}»
these answers are for plate {a}|estas respuestas son para la chapa {a}
not an .npz file|no es un archivo .npz
the file has {a} MB|el archivo tiene {a} MB
the recording cannot be written: {a}|la grabación no se puede escribir: {a}
its end is missing: it is another kind of file, or was cut off|le falta el final: es otro tipo de archivo, o está cortado
is missing|falta
holds {a} of shape {b}|tiene {a} de forma {b}
is damaged: {a}|está dañada: {a}
version is {a}|la versión es {a}
a reference block hides nothing|un bloque de referencia no esconde nada
the exam's name has {a} characters|el nombre del examen tiene {a} caracteres
the recording is of plate {a}|la grabación es de la chapa {a}
this session was recorded at another plate or another edition of it ({a})|esta sesión se registró en otra chapa u otra edición de ella ({a})
the set-up of this session cannot be used: {s}|el ajuste de esta sesión no se puede usar: {s}
the recording kept in this browser is damaged ({a})|la grabación guardada en este navegador está dañada ({a})
the recording would take {a} MB, at most {b} MB are kept; a larger step, a shorter range or fewer beams make it smaller|la grabación ocuparía {a} MB y se guardan {b} MB como mucho; con un paso mayor, menos alcance o menos haces será más pequeña
the recording has no line {a} of pass {b} (both from 0)|la grabación no tiene la línea {a} de la pasada {b} (las dos desde 0)
the frame has {a} samples|la imagen tiene {a} muestras
nothing of the recording lies in the selection|nada de la grabación está en la selección
there is no such pass|no existe esa pasada
the log is empty|el registro está vacío
the log's version is {a}|la versión del registro es {a}
time runs backwards: {a} ms after {b} ms|el tiempo va hacia atrás: {a} ms después de {b} ms
the set-up was changed {a} times before|el ajuste ya se cambió {a} veces
call {a} (from 0) is not among the {b} on the sheet|la anotación {a} (desde 0) no está entre los {b} de la hoja
the sheet is full with {a} calls|la hoja está llena con {a} anotaciones
the probe stands {a}|el palpador está a {a}
expected ["A"], ["B"] or ["A", "B"]|se esperaba: ["A"], ["B"] o ["A", "B"]
grain alone reaches {a}, above the recording level of {b}|solo el grano llega a {a}, por encima del nivel de registro de {b}
lists plate.flaw[{a}] ({b}), but it reaches {c} from side {d}|lista plate.flaw[{a}] ({b}), pero llega a {c} desde el lado {d}
plate.flaw[{a}] ({b}): below the recording level everywhere ({c} at best), but not in scheme.below_recording_level|plate.flaw[{a}] ({b}): por debajo del nivel de registro en todas partes ({c} como mejor eco), pero no está en scheme.below_recording_level
plate.flaw[{a}] ({b}): mandatory, but {s} ({c} at best)|plate.flaw[{a}] ({b}): obligatoria, pero {s} ({c} como mejor eco)
no echo of it stands clear of the grain|ningún eco suyo destaca del grano
cap or root echo far higher beside every echo of it|junto a cada eco suyo hay uno mucho más alto del sobreespesor o de la raíz
plate.flaw[{a}] and plate.flaw[{b}]: so close above each other that a call could belong to either|plate.flaw[{a}] y plate.flaw[{b}]: tan juntos uno sobre otro que una anotación podría ser de cualquiera
expected the start of a session in the first line|la primera línea no es el comienzo de una sesión
{w} is {v}|{w} es {v}
is {v}|es {v}
not measured yet|sin medir todavía
{w}|{w}`;
