package stitch

import (
	"fmt"
	"slices"
	"strings"
)

// The words by which the data file names kinds, habits and the parts of a
// symbol, in the order of their constants.
var (
	kindWords = []string{
		"basic", "chain", "slip", "extended", "post", "together", "increase", "foundation", "crossed",
		"cluster", "group", "picot", "manner", "start", "surface", "texture", "tunisian",
	}
	habitWords = []string{"never", "usually not", "varies", "usually", "always"}
	shapeWords = []string{"", "oval", "dot", "plus", "stem", "puff", "ring", "tilde", "wave"}
	joinWords  = []string{"apart", "top", "foot", "both", "cross"}
	sideWords  = []string{"", "front", "back"}
	dialects   = []string{"any", "US", "UK", "older"}
)

// String is the kind in a word: "together".
func (k Kind) String() string { return kindWords[k] }

// String is the habit in words: "usually not".
func (h Habit) String() string { return habitWords[h] }

// String is the shape in a word.
func (s Shape) String() string { return shapeWords[s] }

// String is the join in a word.
func (j Join) String() string { return joinWords[j] }

// String is the side in a word.
func (s Side) String() string { return sideWords[s] }

// String is the dialect as it is named: "US", "UK", "older".
func (d Dialect) String() string { return dialects[d] }

// UnmarshalText reads a kind from its word.
func (k *Kind) UnmarshalText(b []byte) error { return fromWord(k, "kind", kindWords, b) }

// UnmarshalText reads a habit from its words.
func (h *Habit) UnmarshalText(b []byte) error { return fromWord(h, "counts", habitWords, b) }

// UnmarshalText reads a shape from its word.
func (s *Shape) UnmarshalText(b []byte) error { return fromWord(s, "shape", shapeWords, b) }

// UnmarshalText reads a join from its word.
func (j *Join) UnmarshalText(b []byte) error { return fromWord(j, "join", joinWords, b) }

// UnmarshalText reads a side from its word.
func (s *Side) UnmarshalText(b []byte) error { return fromWord(s, "side", sideWords, b) }

func fromWord[T ~uint8](to *T, what string, words []string, b []byte) error {
	i := slices.Index(words, string(b))
	if i < 0 {
		return fmt.Errorf("%s %q is none of: %s", what, b, strings.Join(words, ", "))
	}
	*to = T(i)
	return nil
}
