// What was expected of a refused file, in Spanish; see refusals.es.js.

/** What was expected. A line each: English|Spanish. */
export const EXPECTED = `
{a} to {b}: this program reads no other form|de {a} a {b}: este programa no lee otra forma
{a}: this program reads no other form|{a}: este programa no lee otra forma
yard: the standard's levels are held for plates of {a} mm to less than {b} mm only, this one has {c} mm|yard: los niveles de la norma valen solo para chapas de {a} mm a menos de {b} mm, y esta tiene {c} mm
at most {a}, so this is probably another kind of file|{a} como mucho, así que será otro tipo de archivo
it: the yard's own is for welds|que la haya: el procedimiento del astillero es para soldaduras
at most that: it runs across|eso como mucho: va a través
at most one a side|una por lado como mucho
at most {a} or a slag-line|{a} como mucho, o slag-line
at most that|eso como mucho
at most one|una como mucho
at most {a}|{a} como mucho
at least {a} here|{a} aquí como mínimo
at least {a}|{a} como mínimo
less than 1/√2 of it|menos de 1/√2 de eso
less|menos
none or {a}|ninguna o {a}
none|ninguno
no tilt|sin inclinación
no misalignment|sin desalineación
no such key|sin esa clave
no key here|ninguna clave aquí
no table behind it|sin una tabla detrás
no less|no menos
no more|no más
the same: a single pore is round|lo mismo: un poro aislado es redondo
the same|lo mismo
the smaller angle first|primero el ángulo menor
the smaller value first|primero el valor menor
the smaller one first|primero el menor
another place|otro lugar
another kind|otro tipo
a larger one|una mayor
to end in it|que acabe en ella
it inside the {a}|que quede dentro del {a}
one at least 2 mm wide|uno de 2 mm de ancho como mínimo
one after the \`=\`|uno después del \`=\`
one of {a}|una de {a}
one|una
only one of them|solo uno de los dos
TOML text|texto TOML
the file to be saved as UTF-8|el archivo guardado como UTF-8
the bare number: keys name their units|el número solo: las claves dicen su unidad
text in quotes|texto entre comillas
every key once|cada clave una vez
\`{a}\`: a key names its unit, here {b}|\`{a}\`: una clave dice su unidad, aquí {b}
\`{a}\` in {b}|\`{a}\` en {b}
\`{a}\` or another of {b}|\`{a}\` u otra de {b}
"{a}" or another of {b}|"{a}" u otra de {b}
it in this table|que estuviera en esta tabla
a bare number of {a} (the key names the unit): {b}|un número solo en {a} (la clave dice la unidad): {b}
a bare number of {a} (the key names the unit)|un número solo en {a} (la clave dice la unidad)
a bare whole number, 0 or more{a}|un número entero solo, 0 o más{a}
a bare whole number, 0 or more|un número entero solo, 0 o más
a bare number{a}|un número solo{a}
a bare {v}|{v} sin comillas
a whole number of {a}, 0 or more|un número entero de {a}, 0 o más
a whole number, 0 or more|un número entero, 0 o más
a number of {a}|un número en {a}
a number or {a}|un número o {a}
a number, as the row has values of a call|un número, pues la fila tiene valores de una anotación
a number|un número
a sequence|una lista
a boolean|true o false
a word in quotes or a table of one|una palabra entre comillas o una tabla de una
a table with its values|una tabla con sus valores
a table|una tabla
a sector there, or procedure.bench.calibrated = true|un sector, o procedure.bench.calibrated = true
the procedure in words|el procedimiento en palabras
the file as the page saved it: {a}|el archivo tal como lo guardó la página: {a}
the file as the page saved it|el archivo tal como lo guardó la página
the file as it was written: {a}|el archivo tal como se escribió: {a}
the file as it was written|el archivo tal como se escribió
“{a}” of version {b}|«{a}» de la versión {b}
it as the page saved it: {a}|tal como lo guardó la página: {a}
a whole log|un registro entero
a finished one|una terminada
a hand-in of the sealed plate|una entrega de la chapa sellada
plate {a}|la chapa {a}
an answer sheet or a hand-in|una hoja de respuestas o una entrega
the instructor's or the one told at the sitting|la del instructor o la que se dice en el examen
two: trainees get to know one of them|dos: los alumnos conocen una de ellas
some of {a}|algunas de {a}
once|una vez
a first line with {a}|una primera línea con {a}
a table saved as CSV UTF-8|una tabla guardada como CSV UTF-8
{a} as in the rows before|{a}, como en las filas anteriores
a zip archive ({a})|un archivo zip ({a})
in every recording|en toda grabación
{a} of shape {b}|{a} de forma {b}
a plate with a weld|una chapa con soldadura
that of the exam, {a}|la del examen, {a}
spans that overlap what was scanned|tramos que toquen lo barrido
{a}: it was taken with another set-up|{a}: se tomó con otro ajuste
the start of a session in the first line|el comienzo de una sesión en la primera línea
the start of a session|el comienzo de una sesión
accept or reject|accept o reject
a whole number from {a} to {b}|un número entero de {a} a {b}
the name of a joint that plates are drawn with|el nombre de una unión con la que se dibujan chapas
every beam to have found its {a}|que cada haz haya encontrado lo suyo
{v}, {w} or {u}|{v}, {w} o {u}
{v} or {u}|{v} o {u}
{v} to {u}|de {v} a {u}
{v}|{v}`;
