package trouble

import (
	"slices"
	"testing"
)

// Symptoms as people tell them, each in several ways.
func TestSymptomsInManyWords(t *testing.T) {
	for want, asks := range map[string][]string{
		"edges slant in":        {"the sides of my scarf go in", "my blanket is turning into a triangle", "why does my crochet get narrower", "my work gets smaller every row", "edges slanting inwards"},
		"edges slant out":       {"my blanket keeps getting wider", "why is my crochet getting wider", "the sides go outwards"},
		"count shrinks":         {"i lose a stitch every row", "i'm losing stitches", "too few stiches at the end of the row", "my stitch count goes down"},
		"count grows":           {"i gain stitches", "one stitch too many every row", "extra stitches appear", "more stitches than the pattern says"},
		"edging ruffles":        {"border waves", "my edging is ruffling", "frilly edge on my blanket border", "the trim is wavy"},
		"edging puckers":        {"my border is too tight", "border makes my blanket curl up", "edging pulls in"},
		"foundation tight":      {"starting chain is too tight", "my first row is tighter than the rest", "cant get my hook into the chain", "bottom edge is tight"},
		"foundation loose":      {"my chain is too loose", "bottom edge is wavy", "starting edge flares"},
		"gap at the edge":       {"gap at beginning of row", "holes along the side of my double crochet", "turning chain leaves a gap"},
		"color joins":           {"color change is ugly", "changing colours looks untidy", "little bits of the old color show"},
		"stripe step":           {"jog in my stripes", "stripes don't line up in the round", "there is a step where the color changes in rounds"},
		"circle ruffles":        {"my circle is wavy", "coaster won't lie flat it waves", "circle ruffling", "my round rug is full of waves"},
		"circle cups":           {"my circle curls", "circle becomes a bowl", "my flat circle turns into a hat", "the coaster is cupping"},
		"circle corners":        {"my circle looks like a hexagon", "circle has six corners", "it is not round, it has corners"},
		"ball has holes":        {"you can see the stuffing", "holes in my amigurumi", "gaps between my stitches in my toy"},
		"holes at decreases":    {"my decreases leave holes", "gap at every decrease", "ugly decreases"},
		"seams do not meet":     {"the seams don't match", "my two pieces have different lengths", "sleeve and armhole don't fit together", "one side is longer"},
		"seam leans":            {"my join travels", "the seam slants in the round", "joins lean to the side"},
		"neckline gapes":        {"my neckline is too big", "the collar is loose", "it falls off my shoulder"},
		"neck too tight":        {"can't get the sweater over my head", "neck is too tight", "neck opening is too small"},
		"sleeve too narrow":     {"sleeves are too tight", "my upper arm doesn't fit", "sleeve too small for my arm"},
		"button band gapes":     {"the buttons gape", "my front doesn't stay closed", "button holes are too big"},
		"square is not square":  {"my granny square is twisted", "granny square isn't square", "my squares are different sizes"},
		"gauge one way":         {"row gauge is wrong", "stitch gauge is right but row gauge isn't", "my rows are too short"},
		"size off":              {"my hat is too big", "my sweater is too small", "it came out the wrong size", "the blanket is huge"},
		"grew after washing":    {"my sweater stretched in the wash", "cardigan got longer", "garment grew after washing"},
		"shrank after washing":  {"my jumper felted", "wool shrank", "too small after washing"},
		"ribbing too loose":     {"ribbing too loose", "my cuffs are floppy", "the brim is stretched out", "hem flares out"},
		"ribbing too tight":     {"cuff is too tight", "brim too tight", "ribbing pulls in too much"},
		"not enough yarn":       {"i'm running out of yarn", "not enough yarn left", "will my yarn last"},
		"terms mixed up":        {"is my pattern uk or us", "it doesn't look like the picture"},
		"too stiff":             {"my scarf is stiff as cardboard", "fabric too stiff", "no drape"},
		"too floppy":            {"fabric is too loose", "my bag stretches", "it's too floppy"},
		"uneven stitches":       {"my stitches are messy", "tension is uneven", "stitches are all different sizes"},
		"curls":                 {"my scarf curls", "corners curl", "piece keeps rolling up"},
		"leans":                 {"my blanket is skewed", "fabric leans to the left", "the piece is slanting"},
		"yarn splits":           {"the yarn keeps splitting", "my hook splits the yarn", "splitty yarn"},
		"pills":                 {"pilling", "fuzz balls on my sweater"},
		"ring opens":            {"my magic ring came undone", "hole in the middle of my circle", "magic circle won't close"},
		"ends come out":         {"ends keep coming out", "my woven ends pop out", "tails stick out"},
		"hands tight":           {"i crochet too tight", "my hook gets stuck", "hook won't go in the stitch"},
		"hands hurt":            {"my thumb hurts", "wrist pain", "my fingers go numb", "sore hands"},
		"cannot see stitches":   {"i can't see the stitches", "black yarn", "where do i put my hook"},
		"yarn tangles":          {"my yarn is in knots", "tangled skein"},
		"chain does not work":   {"my chain falls apart", "the yarn keeps falling off the hook"},
		"row does not come out": {"stitches left over at the end of the row", "the repeat doesn't work out", "not enough stitches for the repeat"},
	} {
		for _, ask := range asks {
			var keys []string
			for _, m := range Find(ask, 3) {
				keys = append(keys, m.Key)
			}
			if !slices.Contains(keys, want) {
				t.Errorf("%q finds %q, want %s among them", ask, keys, want)
			}
		}
	}
}
