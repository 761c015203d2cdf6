package fabric

// Limits of what is worked in one go. Every one is far above what a pattern
// needs, and a text that passes one is told so.
const (
	maxDepth    = 12
	maxTimes    = 100_000
	maxStitches = 100_000 // in one row
	maxRows     = 10_000  // in a text, over all its sizes
	maxFuel     = 100_000 // steps of the engine
	maxHunt     = 50_000  // steps for causes and other readings
	rowFuel     = 10      // steps that beginning a row costs
	timeFuel    = 4       // and each time of a repeat that is worked by itself
)
