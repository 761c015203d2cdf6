package notation

// Terms is a dialect of crochet words.
type Terms uint8

// The dialects. Older is the third one, of texts from about 1850 to 1920:
// single = slip stitch, double = US sc, treble = US dc.
const (
	TermsUnsaid Terms = iota
	US
	UK
	Older
)
