package notation

import (
	"fmt"
	"strings"
)

// Terms is a dialect of crochet words. The values are those of stitch.Dialect.
type Terms uint8

// The dialects. Older is the third one, of texts from about 1850 to 1920:
// single = slip stitch, double = US sc, treble = US dc.
const (
	TermsUnsaid Terms = iota
	US
	UK
	Older
)

var termsWords = [...]string{"unsaid", "US", "UK", "older"}

// String returns "US", "UK" or "older", and "unsaid" for the zero Terms.
func (t Terms) String() string {
	if int(t) < len(termsWords) {
		return termsWords[t]
	}
	return "unsaid"
}

// TermsError says that a word is no name of a dialect.
type TermsError struct{ Word string }

func (e *TermsError) Error() string {
	return fmt.Sprintf("terms %q are none of US, UK, older", e.Word)
}

// ParseTerms reads the name of a dialect in any letter case: "US", "uk",
// "British", "older". Nothing is TermsUnsaid. The error is a *TermsError.
func ParseTerms(word string) (Terms, error) {
	switch strings.ToLower(strings.TrimSpace(word)) {
	case "":
		return TermsUnsaid, nil
	case "us", "usa", "u.s.", "american":
		return US, nil
	case "uk", "u.k.", "british":
		return UK, nil
	case "older", "old":
		return Older, nil
	}
	return TermsUnsaid, &TermsError{word}
}

// DialectError says that a word of the text is not of the terms it is read in.
type DialectError struct {
	Word  string  // as the text has it
	Has   []Terms // the dialects that have the word
	Tried Terms   // the dialect of the text
}

func (e *DialectError) Error() string {
	has := make([]string, len(e.Has))
	for i, t := range e.Has {
		has[i] = t.String()
	}
	return fmt.Sprintf("%q is a word of %s terms, and the text is read in %s terms", e.Word, strings.Join(has, " and "), e.Tried)
}
