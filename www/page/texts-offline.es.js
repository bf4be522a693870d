// The words of keeping the page and the work in the browser, in Spanish.
export const OFFLINE = Object.freeze({
  'newer.words': 'Hay una edición más reciente de Trialplate. Tus chapas y respuestas se quedan.',
  'newer.load': 'Cargarla',
  'newer.others': 'Trialplate está abierto en otra pestaña o ventana. Ciérrala primero y carga después la edición más reciente.',
  'offline.ready': 'Desde ahora funciona sin red.',
});
