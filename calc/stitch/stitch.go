// Package stitch is the dictionary of crochet stitches: names in US and UK
// terms, height, turning chain, what a stitch consumes of the row below and
// makes in its own.
package stitch

// ID names a stitch by its US abbreviation in lower case ("sc", "hdc2tog",
// "fpdc"). A pattern's own stitch is an ID too: the name that it gives.
type ID string
