// Package sizing holds bodies: the measures that garments answer to, published
// size tables with the source of each row, the size a body falls in, what a
// body's missing measures most likely are, and ease.
package sizing

import (
	"countwright/calc/measure"
)

// Measure is a body measure by its name in the trade.
type Measure string

// The measures of a body.
const (
	Chest        Measure = "chest"                // bust
	Waist        Measure = "waist"                //
	Hips         Measure = "hips"                 //
	CrossBack    Measure = "cross back"           // shoulder to shoulder
	CentreBack   Measure = "centre back to wrist" // from the neck bone, arm a little bent
	BackLength   Measure = "back length"          // neck bone to waist
	HipLength    Measure = "back hip length"      // neck bone to hips
	ArmLength    Measure = "arm length"           // armpit to wrist
	UpperArm     Measure = "upper arm"            // around
	ArmholeDepth Measure = "armhole depth"        // shoulder to armpit, straight down
	Neck         Measure = "neck"                 // around its base
	Wrist        Measure = "wrist"                // around
	Hand         Measure = "hand"                 // around the palm, without the thumb
	HandLength   Measure = "hand length"          // wrist to the tip of the middle finger
	Head         Measure = "head"                 // around, above the ears
	Foot         Measure = "foot"                 // around the ball
	FootLength   Measure = "foot length"          // heel to toe
)

// about is what a measure is, and the limits of any body, in centimetres.
type about struct {
	how       string
	low, high float64
}

// measures is every measure, in the order that tables print them. The limits
// are common practice, no source: they stop slips of the pen, not bodies.
var measures = []Measure{
	Chest, Waist, Hips, CrossBack, CentreBack, BackLength, HipLength, ArmLength,
	UpperArm, ArmholeDepth, Neck, Wrist, Hand, HandLength, Head, Foot, FootLength,
}

var details = map[Measure]about{
	Chest:        {"around the fullest part of the chest, tape level", 20, 200},
	Waist:        {"around the narrowest part, or where a waistband sits", 20, 200},
	Hips:         {"around the fullest part of the hips, tape level", 20, 220},
	CrossBack:    {"from shoulder bone to shoulder bone across the back", 10, 70},
	CentreBack:   {"from the bone at the neck over the shoulder to the wrist, arm a little bent", 15, 115},
	BackLength:   {"from the bone at the neck down to the waist", 8, 70},
	HipLength:    {"from the bone at the neck down to the hips", 15, 100},
	ArmLength:    {"from the armpit to the wrist, arm a little bent", 8, 75},
	UpperArm:     {"around the widest part of the arm below the armpit", 6, 80},
	ArmholeDepth: {"from the top of the shoulder straight down to the armpit", 4, 45},
	Neck:         {"around the base of the neck", 12, 70},
	Wrist:        {"around the wrist bone", 5, 35},
	Hand:         {"around the palm, without the thumb", 6, 35},
	HandLength:   {"from the wrist to the tip of the middle finger", 4, 30},
	Head:         {"around the widest part, above the ears", 20, 75},
	Foot:         {"around the ball of the foot", 6, 45},
	FootLength:   {"from the heel to the longest toe", 5, 40},
}

// Measures is every measure, in the order that tables print them.
func Measures() []Measure { return append([]Measure(nil), measures...) }

// How says how the measure is taken.
func (m Measure) How() string { return details[m].how }

// Limits is what any body's measure lies between.
func (m Measure) Limits() (low, high measure.Length) {
	d := details[m]
	return measure.Of(d.low, measure.Centimetres), measure.Of(d.high, measure.Centimetres)
}

// Known says whether it is one of the measures.
func (m Measure) Known() bool { return details[m].how != "" }

// Body is some or all measures of a body. What is missing is not known.
type Body map[Measure]measure.Length

// Check is nil if each measure is known and within its limits, else a
// *NameError or a *measure.RangeError.
func (b Body) Check() error {
	for m := range b {
		if !m.Known() {
			return unknown("measure", string(m), nameAll(measures))
		}
	}
	for _, m := range measures { // in order, so that the error is always the same
		if l, given := b[m]; given {
			low, high := m.Limits()
			if err := l.Check(string(m), low, high); err != nil {
				return err
			}
		}
	}
	return nil
}

func nameAll(all []Measure) []string {
	names := make([]string, len(all))
	for i, m := range all {
		names[i] = string(m)
	}
	return names
}
