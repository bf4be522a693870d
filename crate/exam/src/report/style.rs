//! How reports look, on screen and on A4.

pub(super) const STYLE: &str = "
@page { size: A4; margin: 14mm }
:root { color-scheme: light dark; --ink: #1f2e2a; --paper: #fffdf8; --edge: #77716a; --wash: #e4ece6 }
@media screen and (prefers-color-scheme: dark) { :root { --ink: #e9eee9; --paper: #1c2825; --edge: #8b9a94; --wash: #2a3d37 } svg { background: #fffdf8; color: #1f2e2a; border-radius: .3rem } }
body { font: 95%/1.4 system-ui, sans-serif; color: var(--ink); background: var(--paper); max-width: 60rem; margin: 1rem auto; padding: 0 1rem; overflow-wrap: anywhere }
h1 { font-size: 1.4rem; margin: 0 0 .5rem } h2 { font-size: 1.15rem; margin: 1.4rem 0 .4rem; break-after: avoid } h3 { font-size: 1rem; margin: 1rem 0 .3rem; break-after: avoid }
p, ul { margin: .35rem 0 }
.wide { overflow-x: auto }
.parts td:first-child { white-space: nowrap } .parts td:last-child { width: 11rem; font-size: .85em }
table { border-collapse: collapse; width: 100%; margin: .4rem 0 }
th, td { border: 1px solid var(--edge); padding: .2rem .4rem; text-align: left; vertical-align: top; font-weight: normal; font-variant-numeric: tabular-nums; overflow-wrap: normal }
thead th, .facts th { font-weight: 600 } .facts th { width: 30% }
td { min-width: 3rem; overflow-wrap: anywhere }
figure { margin: .6rem 0; break-inside: avoid } figcaption { font-weight: 600 }
svg { width: 100%; max-height: 70mm; display: block }
.caution { border: 1px solid var(--edge); border-left: 5px solid #b8860b; padding: .35rem .7rem }
.result { font-size: 1.1rem; font-weight: 600 } .small { font-size: .85em } .repair, .row { break-inside: avoid }
@media print { :root { --ink: #000; --paper: #fff; --edge: #555 } body { margin: 0; padding: 0; max-width: none; font-size: 10pt } tr { break-inside: avoid } .wide { overflow: visible } }
";
