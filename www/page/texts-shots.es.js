// Las palabras de aquello de lo que se sacaron las anotaciones y de lo que muestran las imperfecciones, en español.
export const SHOTS = Object.freeze({
  'shot.title': 'De dónde salió esta anotación',
  'shot.wait': 'Se vuelve a calcular la imagen …',
  'shot.none': 'Esta imagen no se puede volver a calcular.',
  'shot.there': 'Volver a poner allí el palpador',
  'sight.caption': 'Imperfección {n}: qué era posible y qué tuvo esta sesión',
  'sight.best': 'Lo mejor posible',
  'sight.had': 'Lo mejor que tuviste',
  'sight.nothing': 'nada de ella',
  'sight.height': 'Eco',
  'sight.from': 'Desde',
  'sight.beam': 'Haz',
  'sight.probe': 'Palpador',
  'sight.when': 'Al cabo de',
  'sight.sides': 'Mostrar la imperfección {n} desde los dos lados',
  'sight.side': 'Lado {side}, lo mejor: {db} dB',
});
