package regauge

import (
	"slices"
	"strings"

	"countwright/calc/notation"
)

// oneSize is a document as one of its sizes reads it. The places in the text
// stay.
func oneSize(doc *notation.Document, size int) *notation.Document {
	out := *doc
	out.Sizes, out.SizeCount = nil, 1
	name := ""
	if size < len(doc.Sizes) {
		name = doc.Sizes[size]
	}
	out.Parts = make([]notation.Part, len(doc.Parts))
	for i, p := range doc.Parts {
		q := p
		q.Lines = nil
		for _, l := range p.Lines {
			l := namedSize(lineIn(l, size), name)
			if l == nil {
				if len(q.Lines) < q.Preface {
					q.Preface--
				}
				continue
			}
			q.Lines = append(q.Lines, l)
			if end := cutEnd(l); end != nil {
				q.Lines = append(q.Lines, end)
			}
		}
		out.Parts[i] = q
	}
	return &out
}

// namedSize makes a sentence that lists the sizes name the one.
func namedSize(l notation.Line, name string) notation.Line {
	if p, ok := l.(*notation.Prose); ok && name != "" && strings.HasPrefix(strings.ToLower(p.Text), "sizes") {
		return &notation.Prose{Span: p.Span, Text: "Size: " + name}
	}
	return l
}

// cutEnd takes what ends a piece off its last row, or rows, as a line of its
// own; nil where there is nothing to take.
func cutEnd(l notation.Line) notation.Line {
	r, ok := l.(*notation.Row)
	if !ok || !worksStitches(r.Steps) {
		return nil
	}
	for i, s := range r.Steps {
		if _, ok := s.(*notation.FastenOff); ok && !worksStitches(r.Steps[i:]) {
			end := &notation.Row{Span: notation.Span{From: s.Pos(), To: r.To}, Steps: r.Steps[i:]}
			r.Steps = r.Steps[:i:i]
			return end
		}
	}
	return nil
}

// lineIn is a line in one size; nil where the size does not work it.
func lineIn(l notation.Line, size int) notation.Line {
	switch l := l.(type) {
	case *notation.Row:
		if l.Sizes != nil && !slices.Contains(l.Sizes, size) {
			return nil
		}
		r := *l
		r.Sizes, r.Label, r.Claim = nil, labelIn(l.Label, size), claimIn(l.Claim, size)
		r.Steps = stepsIn(l.Steps, size)
		return &r
	case *notation.Again:
		if l.Sizes != nil && !slices.Contains(l.Sizes, size) {
			return nil
		}
		a := *l
		a.Sizes, a.Label, a.Claim, a.Times = nil, labelIn(l.Label, size), claimIn(l.Claim, size), numberIn(l.Times, size)
		return &a
	}
	return l
}

func numberIn(n notation.Number, size int) notation.Number {
	if !n.Said() {
		return nil
	}
	return notation.N(n.At(size))
}

func labelIn(l notation.Label, size int) notation.Label {
	l.From, l.To = numberIn(l.From, size), numberIn(l.To, size)
	return l
}

func claimIn(c *notation.Claim, size int) *notation.Claim {
	if c == nil {
		return nil
	}
	out := *c
	out.Entries = slices.Clone(c.Entries)
	for i := range out.Entries {
		out.Entries[i].Count = numberIn(out.Entries[i].Count, size)
	}
	return &out
}

// stepsIn copies steps as one size reads them; the copies share nothing that
// is changed later.
func stepsIn(steps []notation.Step, size int) []notation.Step {
	out := make([]notation.Step, len(steps))
	for i, s := range steps {
		out[i] = stepIn(s, size)
	}
	return out
}

func stepIn(s notation.Step, size int) notation.Step {
	switch s := s.(type) {
	case *notation.Stitches:
		c := *s
		c.Each, c.Into = numberIn(s.Each, size), placeIn(s.Into, size)
		return &c
	case *notation.Chain:
		c := *s
		c.Many = numberIn(s.Many, size)
		return &c
	case *notation.Skip:
		c := *s
		c.Many = numberIn(s.Many, size)
		return &c
	case *notation.Group:
		c := *s
		c.Steps = stepsIn(s.Steps, size)
		c.Times.N, c.Times.Left = numberIn(s.Times.N, size), numberIn(s.Times.Left, size)
		if s.Into != nil {
			into := placeIn(*s.Into, size)
			c.Into = &into
		}
		return &c
	case *notation.Ring:
		c := *s
		c.Chains = numberIn(s.Chains, size)
		return &c
	case *notation.Join:
		c := *s
		c.Into = placeIn(s.Into, size)
		return &c
	case *notation.Attach:
		c := *s
		c.Into, c.Skip = placeIn(s.Into, size), numberIn(s.Skip, size)
		return &c
	case *notation.Leave:
		c := *s
		c.Many = numberIn(s.Many, size)
		return &c
	}
	return s // nothing in it is ever changed
}

func placeIn(p notation.Place, size int) notation.Place {
	p.Many, p.Left = numberIn(p.Many, size), numberIn(p.Left, size)
	return p
}
