package notation

import (
	"countwright/calc/stitch"
	"strings"
)

func (p *printer) claimBracket(c *Claim) {
	if c == nil {
		return
	}
	open, shut := " (", ")"
	if p.opt.Style.Count == "[" {
		open, shut = " [", "]"
	}
	p.add(open)
	p.claim(c)
	p.add(shut)
}

func (p *printer) claim(c *Claim) {
	for i, e := range c.Entries {
		if i > 0 {
			p.add(", ")
		}
		p.add(numberText(e.Count))
		if e.What == "" || p.opt.Style.Bare && e.What == "st" {
			continue
		}
		p.add(" ", p.what(e.What, !e.Count.equal(N(1))))
	}
}

// what writes what a count is of.
func (p *printer) what(what string, many bool) string {
	switch {
	case what == "st":
		return plain(p.short("st", "stitch"), many)
	case what == "tch":
		return what
	case what == "sp", strings.HasSuffix(what, " sp"), what == "loop":
		return plain(what, many)
	}
	if _, ok := stitch.Lookup(stitch.ID(what)); ok {
		return p.name(stitch.ID(what), many)
	}
	return plain(what, many)
}
