//! How the page looks: black on white, nothing said by colour alone, so that a grey print reads the same. Text is 16 px on a
//! screen and 9 pt or more on paper; nothing is wider than a phone.

/// Of everything within `.gelwright`; the page adds nothing but its margins.
pub(super) const STYLE: &str = "
.gelwright { font: 16px/1.4 system-ui, 'DejaVu Sans', Arial, sans-serif; color: #1a1a1a; background: #fff; max-width: 64rem; overflow-wrap: anywhere; text-align: left; }
.gelwright h1, .gelwright h2, .gelwright h3, .gelwright p, .gelwright ul, .gelwright ol { margin: 0 0 .4rem; }
.gelwright h1 { font-size: 1.25rem; }
.gelwright h2 { font-size: 1.15rem; margin-top: 1.1rem; border-bottom: 2px solid #1a1a1a; }
.gelwright h3 { font-size: 1rem; margin-top: .6rem; }
.gelwright ul, .gelwright ol { padding-left: 1.4rem; }
.gelwright .verdict { font-size: 1.5rem; font-weight: bold; border: 3px solid #1a1a1a; padding: .3rem .7rem; margin: .2rem 0 .5rem; }
.gelwright .verdict.no { background: #1a1a1a; color: #fff; }
.gelwright .verdict.yes_if { border-style: double; border-width: 6px; }
.gelwright .quiet { color: #4d4d4d; }
.gelwright .cups { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(19rem, 100%), 1fr)); gap: .6rem; }
.gelwright .cup { border: 1px solid #1a1a1a; padding: .4rem .6rem; break-inside: avoid; }
.gelwright .cup h3 { margin-top: 0; }
.gelwright .cup p { margin-bottom: .2rem; }
.gelwright table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; margin: 0; }
.gelwright th, .gelwright td { text-align: left; vertical-align: top; padding: .12rem .5rem .12rem 0; border: 0; border-bottom: 1px solid #d0d0d0; background: none; color: inherit; font-size: inherit; }
.gelwright .n { text-align: right; padding-right: 0; padding-left: .5rem; }
.gelwright td.n { min-width: 4.5em; }
.gelwright .cup td.n { white-space: nowrap; }
.gelwright .clock { columns: 24rem 2; column-gap: 1.6rem; list-style: none; padding: 0; }
.gelwright .clock li { display: flex; gap: .6rem; break-inside: avoid; }
.gelwright .clock time { flex: 0 0 6.2em; font-variant-numeric: tabular-nums; font-weight: bold; }
.gelwright .care { border-left: 6px solid #1a1a1a; padding-left: .6rem; margin: .15rem 0; }
.gelwright .steps { list-style: none; padding: 0; }
.gelwright .steps > li { display: flex; gap: .6rem; padding: .1rem 0; border-bottom: 1px solid #d0d0d0; }
.gelwright .steps time { white-space: nowrap; flex: 0 0 6.2em; font-variant-numeric: tabular-nums; font-weight: bold; }
.gelwright .steps p { margin: 0; } .gelwright .steps p.care { margin: .1rem 0; }
.gelwright .record { display: flex; flex-wrap: wrap; gap: .2rem .9rem; margin: .15rem 0; }
.gelwright .record input, .gelwright .record button { font: inherit; max-width: 7em; } .gelwright .record button { max-width: none; padding: .3rem .8rem; }
.gelwright summary { cursor: pointer; padding: .3rem 0; }
.gelwright svg { display: block; width: 100%; height: auto; }
.gelwright svg text { font: 20px system-ui, 'DejaVu Sans', Arial, sans-serif; fill: #1a1a1a; }
@media (max-width: 24rem) { .gelwright td.n { min-width: 0; } .gelwright .n { padding-left: .3rem; } .gelwright th, .gelwright td { padding-right: .2rem; } }
@media (max-width: 60rem) { .gelwright .day { display: none; } }
@media print {
  .gelwright { font-size: 9pt; line-height: 1.2; max-width: none; }
  .gelwright h1 { font-size: 11pt; } .gelwright h2 { font-size: 10.5pt; margin-top: .5rem; break-after: avoid; }
  .gelwright h3 { font-size: 9.5pt; margin-top: .3rem; break-after: avoid; }
  .gelwright h1, .gelwright h2, .gelwright h3, .gelwright p, .gelwright ul, .gelwright ol { margin-bottom: .15rem; }
  .gelwright .verdict { font-size: 15pt; padding: .1rem .5rem; margin: .1rem 0 .2rem; print-color-adjust: exact; }
  .gelwright .cups { grid-template-columns: repeat(3, 1fr); gap: .3rem; }
  .gelwright .cup { padding: .15rem .35rem; }
  .gelwright .cup p { margin-bottom: .05rem; }
  .gelwright .card { break-after: page; } .gelwright .card.no { break-after: auto; } .gelwright .card:last-child { break-after: auto; }
  .gelwright .finding { break-inside: avoid; } .gelwright .steps > li { padding: .02rem 0; }
  .gelwright .clock { columns: 2; }
  .gelwright .findings { columns: 2; column-gap: 6mm; }
  .gelwright .findings h3:first-child { margin-top: 0; }
  .gelwright .day, .gelwright .air, .gelwright .record { display: none; }
  .gelwright details:not([open]) { display: none; }
  .gelwright + .gelwright { break-before: page; }
}
";

/// Of the page as a whole.
pub(super) const PAGE: &str = "
html { background: #fff; } body { margin: 0 auto; max-width: 64rem; padding: .6rem .8rem 2rem; }
@page { size: A4; margin: 9mm 11mm; }
@media print { body { padding: 0; max-width: none; } }
";
