// The words of keeping work, and of a plate open in two tabs, in Spanish.
export const KEPT = Object.freeze({
  'kept.full': 'Al navegador no le queda sitio: desde ahora no se guarda nada. Guarda la sesión en un archivo ahora y haz sitio olvidando chapas antiguas en la página de inicio.',
  'kept.file': 'Guardar la sesión en un archivo',
  'kept.again': 'Intentar otra vez',
  'kept.understood': 'Entendido',
  'kept.bad_file': '«{what}» es una sesión guardada, pero se cortó o cambió por el camino. Se esperaba: el archivo tal como se guardó aquí.',
  'kept.elsewhere': 'Esta chapa está abierta en otra pestaña, y esa pestaña la guarda. Aquí puedes mirar y probar; nada de eso se guarda.',
  'kept.lost': 'Has seguido con esta chapa en otra pestaña. Todo lo que hiciste aquí hasta entonces está guardado; lo que hagas aquí desde ahora, no.',
  'kept.here': 'Seguir aquí',
  'kept.anew': 'Empezar esta chapa de nuevo aquí',
  'sheet.redo': 'Rehacer',
  'save.told': '{name} está guardado, entre tus descargas.',
  'start.forgotten': '{title}: olvidada.',
  'start.forget.undo': 'Deshacer: {title} vuelve',
});
