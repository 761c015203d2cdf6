// Package calc is only this page: the map of the packages below it, what they
// hold to, and the books that their figures come from. All of Countwright's
// arithmetic of the trade is here, and nothing else is.
//
// # Map
//
// Figures and fabric:
//
//   - measure: lengths and weights as makers write them
//   - gauge: swatches, gauge, what following and converting bring
//   - hook: hook sizes in five numberings
//   - yarn: weight classes, amounts, yarn counts, swaps
//   - care: fibres and care symbols
//   - sizing: bodies, size tables, ease
//   - spacing: shaping, edges and buttonholes spread evenly
//   - pace: progress by stitches and when it will be finished
//   - schedule: dates, times of day, quiet hours and time zones, through clock
//     changes
//   - along: a make-along's milestones, from the pieces of a pattern, and what
//     each member must have done for them
//
// Rows and garments:
//
//   - stitch: the dictionary of stitches
//   - notation: written rows, read and printed
//   - fabric: rows worked stitch by stitch
//   - pattern: pattern files and the house patterns
//   - grade: a pattern made to fit a body and a gauge
//   - regauge: written rows made anew at another gauge
//
// Words for beginners:
//
//   - guide: ways through several commands to what a person wants
//   - lesson: how each stitch is worked
//   - term: the glossary
//   - trouble: from a symptom to its causes
//   - lookup: finding an entry by what a person types
//   - prose: how hard a text is to read
//   - entry: reading the data files of the dictionaries
//
// # Conventions
//
// The packages compute and do nothing else: they read no file but the tables
// embedded in them, no clock, no network and no random number, and nothing
// they hold changes once it is read. They import each other, the standard
// library and the decoder of their tables.
//
// A length is a whole number of nanometres, so that millimetres, inches and
// 64ths of an inch are exact. A gauge is stitches and rows in 100 mm. Counts
// are int. Rounding is the last step, and what is rounded carries its
// deviation. Stitches and rows are numbered from 1.
//
// What can't be computed is an error: a small typed value that names the figure
// and its limits and never says "you". NaN and infinities are refused at the
// door and never come out.
//
// Each figure of the trade has its source beside it, "from memory" where the
// source was not at hand, or "common practice, no source". A table that looks
// wrong in its source is kept as printed, and says so.
//
// # Bibliography
//
// Standards and tables:
//
//   - Craft Yarn Council, Standards & Guidelines for Crochet and Knitting, 2015
//     and 2018 (from memory; its Woman and Child charts in centimetres read in a
//     stored copy): sizes, ease, hooks, abbreviations, symbols.
//     Packages sizing, hook, stitch, term.
//   - Craft Yarn Council, Standard Yarn Weight System, crochet table as reprinted
//     in Crochet World, October 2018, p. 64; knitting table, a stored reprint.
//     Package yarn.
//   - Spin-Off, Yarn Standards sheet: wraps to the inch, yards a pound. Package
//     yarn.
//   - EN 13402-3, Size designation of clothes, 2005: bust classes as coded in the
//     documentation of the R package Anthropometry (Ibáñez, Vinué et al.
//     2012); the rest from memory. Package sizing.
//   - ASTM D5585-11e1, Standard Tables of Body Measurements for Adult Female
//     Misses Figure Type, abstract page. Package sizing.
//   - WHO Child Growth Standards, 2007, head circumference for age (centiles
//     derived from the published L, M, S). Package sizing.
//   - G. Nellhaus, Head circumference from birth to eighteen years, Pediatrics
//     41, 1968 (from memory). Package sizing.
//   - ISO 3758, care labelling symbols, editions of 2012 and 2023 (figures partly
//     from memory). Package care.
//   - ISO 1144 and ASTM D861, the tex system (definitions from memory). Package
//     yarn.
//   - International yard and pound agreement, 1959. Package measure.
//   - IANA, Time Zone Database, 2025c: the names of zones; their rules come with
//     the zone that a caller gives, read from files as RFC 9636 (TZif) has them.
//     Package schedule. (RFC 5545, calendar files: see commands/calendar.)
//   - ISO 8601-1:2019, dates and times of day as 2027-01-10 and 09:05 (from
//     memory). Package schedule.
//
// Mathematics:
//
//   - J. Clough and J. Douthett, Maximally even sets, Journal of Music Theory
//     35, 1991, 93-173. Package spacing.
//   - S. Block and J. Douthett, Vector products and intervallic weighting,
//     Journal of Music Theory 38, 1994, 21-41 (from memory). Tests of spacing.
//   - G. Toussaint, The Euclidean algorithm generates traditional musical
//     rhythms, Proc. BRIDGES 2005, 47-56. Tests of spacing.
//   - J. E. Bresenham, Algorithm for computer control of a digital plotter, IBM
//     Systems Journal 4(1), 1965, 25-30. Package spacing.
//
// Language:
//
//   - J. P. Kincaid, R. P. Fishburne, R. L. Rogers and B. S. Chissom, Derivation
//     of new readability formulas for Navy enlisted personnel, Research Branch
//     Report 8-75, 1975. Package prose.
//
// Handbooks:
//
//   - Handbook of Wool Knitting and Crochet, Needlecraft Publishing Company,
//     1918: counts that it states itself. Tests of spacing, notation and
//     fabric.
//   - E. Zimmermann, Knitting Without Tears, 1971 (from memory). Package grade.
//   - Crochet Guild of America, lessons, 1997: terms and turning chains. Package
//     stitch.
package calc
