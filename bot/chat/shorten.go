package chat

import "strings"

// fit sets a title and passages in at most limit units. What does not fit is
// cut between two lines of a passage and the note stands at the end; passages
// to keep stay in any case. It reports whether all of it fitted.
func fit(title string, passages []passage, note string, limit int) (content string, whole bool) {
	all := page{}
	all.add(title, false)
	for _, p := range passages {
		all.add(p.whole(), p.fenced)
	}
	if length(all.String()) <= limit {
		return all.String(), true
	}
	return shortened(title, passages, note, limit), false
}

func shortened(title string, passages []passage, note string, limit int) string {
	kept := 0
	for i, p := range passages {
		if !p.keep {
			continue
		}
		if length(p.whole()) > limit/3 { // a caution of the length of a page is cut too
			passages[i].lines, passages[i].title = []string{cut(p.whole(), limit/3)}, ""
		}
		if kept+length(passages[i].whole())+2 > limit*2/3 {
			passages[i].keep = false
			continue
		}
		kept += length(passages[i].whole()) + 2
	}
	var out page
	out.add(cut(title, limit/4), false)
	room := limit - length(out.String()) - length(note) - 4 - kept
	full := false
	for _, p := range passages {
		if p.keep {
			out.add(p.whole(), p.fenced)
			continue
		}
		if full {
			continue
		}
		n := len(p.lines)
		for n > 0 && length(p.text(n))+2 > room {
			n--
		}
		full = n < len(p.lines)
		switch {
		case n > 0:
			out.add(p.text(n), p.fenced)
			room -= length(p.text(n)) + 2
		case room > limit/4 && len(p.lines) > 0 && !p.fenced: // one long paragraph
			out.add(cut(p.text(1), room-2), false)
		}
	}
	out.add(note, false)
	return out.String()
}

// page joins passages; a code block makes its own gaps.
type page struct {
	strings.Builder
	fenced bool
}

func (p *page) add(s string, fenced bool) {
	if s == "" {
		return
	}
	if p.Len() > 0 {
		p.WriteByte('\n')
		if !fenced && !p.fenced {
			p.WriteByte('\n')
		}
	}
	p.WriteString(s)
	p.fenced = fenced
}
