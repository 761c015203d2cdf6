package notation

import (
	"strconv"
	"strings"
)

// parts divides the lines into pieces: a new one wherever the row numbers
// begin again, at the heading above.
func (p *parser) parts() {
	var starts []int // the first line of each part
	numbered := false
	for i, l := range p.lines {
		if startsNumbering(l) {
			if numbered || len(starts) == 0 {
				starts = append(starts, p.partStart(i))
			}
			numbered = true
		} else if r, ok := l.(*Row); ok && r.Label.From.Said() && r.Label.Name == "" {
			numbered = true
			if len(starts) == 0 {
				starts = append(starts, p.partStart(i))
			}
		}
	}
	if len(starts) == 0 {
		starts = []int{0}
	}
	starts[0] = 0 // what stands before belongs to the first piece
	for k, from := range starts {
		to := len(p.lines)
		if k+1 < len(starts) {
			to = starts[k+1]
		}
		p.addPart(p.lines[from:to])
	}
}

// startsNumbering reports whether a line is a row 1.
func startsNumbering(l Line) bool {
	switch l := l.(type) {
	case *Row:
		return l.Label.From.At(0) == 1 && l.Label.Name == ""
	case *Again:
		return l.Label.From.At(0) == 1 && l.Label.Name == ""
	}
	return false
}

// partStart goes back from a row 1 to where its piece begins: the heading
// above it, or the foundation.
func (p *parser) partStart(row int) int {
	start := row
	for i := row - 1; i >= 0; i-- {
		switch l := p.lines[i].(type) {
		case *Heading:
			return p.headingRun(i)
		case *Again:
			return start
		case *Row:
			if l.Label.Kind != Loose && l.Label.From.Said() && l.Label.Name == "" {
				return start
			}
			if !foundation(l) {
				return start
			}
			start = i
		}
	}
	return start
}

// headingRun returns the first of several headings in a row.
func (p *parser) headingRun(i int) int {
	for i > 0 {
		if _, ok := p.lines[i-1].(*Heading); !ok {
			break
		}
		i--
	}
	return i
}

// foundation reports whether a row starts a piece: it begins with a chain or a
// ring.
func foundation(r *Row) bool {
	for _, s := range r.Steps {
		switch s := s.(type) {
		case *Remark, *Mark:
			continue
		case *Chain, *Ring, *Attach:
			return true
		case *Stitches:
			return strings.HasPrefix(string(s.Name), "f") && s.Into.Unsaid
		}
		return false
	}
	return false
}

// addPart makes a piece of lines, named after the last heading above its first
// row.
func (p *parser) addPart(lines []Line) {
	part := Part{Make: 1}
	name := -1
	worked := false
	for i, l := range lines {
		switch l := l.(type) {
		case *Heading:
			if !worked && noteSection(l.Text) == "" && !generic[strings.ToLower(strings.Trim(l.Text, ": "))] {
				name = i
			}
		case *Row:
			worked = worked || l.Label.Kind != Loose || foundation(l)
		case *Again:
			worked = true
		}
	}
	if !worked {
		name = -1
	}
	for i, l := range lines {
		if i == name {
			part.Name, part.Make = makeCount(l.(*Heading).Text)
			part.Preface = len(part.Lines)
			continue
		}
		part.Lines = append(part.Lines, l)
	}
	if len(lines) > 0 {
		part.Span = Span{lines[0].Pos(), lines[len(lines)-1].End()}
	}
	p.doc.Parts = append(p.doc.Parts, part)
}

// generic are headings that name no piece.
var generic = map[string]bool{"instructions": true, "pattern": true, "directions": true, "method": true, "how to": true, "foundation": true, "foundation chain": true, "set up": true, "the pattern": true}

// mostMake is how many of a piece a heading can ask for.
const mostMake = 500

// makeCount takes "(make 2)", "x 2" and "- make two" off a heading.
func makeCount(text string) (name string, count int) {
	low := strings.ToLower(text)
	at := strings.Index(low, "make")
	if at < 0 {
		return strings.TrimRight(strings.TrimSpace(text), ":"), 1
	}
	count = 1
	words := strings.FieldsFunc(low[at+4:], func(c rune) bool { return c == ' ' || c == ')' || c == ':' || c == ']' || c == '.' })
	if len(words) > 0 {
		for n, word := range numberWords {
			if words[0] == word || words[0] == numberText(N(n)) {
				count = max(1, n)
			}
		}
		if n, err := strconv.Atoi(words[0]); err == nil && n > 1 && n <= mostMake {
			count = n
		}
		if words[0] == "both" || words[0] == "pair" {
			count = 2
		}
	}
	return strings.TrimRight(strings.TrimSpace(text[:at]), "([-–—, :"), count
}
