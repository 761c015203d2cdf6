package along

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/calc/pace"
)

// Section is a run of a piece's rows under one heading.
type Section struct {
	Name     string // "V neck"; empty where the piece's own name says it all
	From, To int    // rows done before and after it
	Stitches int
}

// Sections divides a piece at the headings in it. The headings of a pattern
// are the same in every size, so a section is the same part of the work for
// everybody.
func Sections(p pace.Piece) []Section {
	_, first, _ := strings.Cut(p.Name, ",")
	out := []Section{{Name: strings.TrimSpace(first)}}
	for row := range p.Rows {
		if name, ok := headed(p.Said(row)); ok {
			if row == 0 {
				out[0].Name = name
				continue
			}
			out[len(out)-1].To = row
			out = append(out, Section{Name: name, From: row})
		}
	}
	out[len(out)-1].To = len(p.Rows)
	for i := 1; i < len(out); i++ {
		if rest, ok := sides(out[i-1].Name, out[i].Name); ok {
			out[i-1].Name, out[i].Name = "First "+rest, "Second "+rest
		}
	}
	for i := range out {
		out[i].Stitches = p.Stitches(out[i].To) - p.Stitches(out[i].From)
	}
	return out
}

// headed finds a heading among what is said before a row: words that are no
// sentence.
func headed(said []string) (string, bool) {
	for _, text := range said {
		text = strings.TrimSpace(text)
		last, _ := utf8.DecodeLastRuneInString(text)
		if text != "" && (unicode.IsLetter(last) || unicode.IsDigit(last) || last == ')') && len(strings.Fields(text)) <= 6 {
			return text, true
		}
	}
	return "", false
}

// sides reports two names that are left and right of the same.
func sides(a, b string) (string, bool) {
	one, rest, ok := strings.Cut(a, " ")
	other, again, also := strings.Cut(b, " ")
	one, other = strings.ToLower(one), strings.ToLower(other)
	return rest, ok && also && rest == again && (one == "left" && other == "right" || one == "right" && other == "left")
}
