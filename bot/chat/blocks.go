package chat

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"github.com/mattn/go-runewidth"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// phone is how many columns of a code block fit a narrow phone before its
// lines wrap.
const phone = 38

// passage is a block of a reply in the service's markup: lines that belong
// together, and may be parted between two lines only.
type passage struct {
	title  string   // above the lines; may be empty
	lines  []string // each whole in itself
	fenced bool     // the lines are code
	keep   bool     // must be in the message even when it is shortened
}

const fence = "```"

// text prints the first n lines of a passage.
func (p passage) text(n int) string {
	var b strings.Builder
	if p.title != "" {
		b.WriteString(p.title + "\n")
	}
	body := strings.Join(p.lines[:n], "\n")
	if p.fenced && body != "" {
		body = fence + "\n" + body + "\n" + fence
	}
	b.WriteString(body)
	return strings.TrimRight(b.String(), "\n")
}

func (p passage) whole() string { return p.text(len(p.lines)) }

// passageOf puts a block in words. Pictures and files are attached instead and
// give none.
func passageOf(said words.Printer, b reply.Block) (passage, error) {
	switch b := b.(type) {
	case reply.Text:
		return passage{lines: strings.Split(escape(b.Text), "\n")}, nil
	case reply.Steps:
		p := passage{}
		for i, s := range b.Items {
			p.lines = append(p.lines, strconv.Itoa(i+1)+". "+oneLine(s))
		}
		return p, nil
	case reply.List:
		p := passage{title: boldTitle(b.Title)}
		for _, s := range b.Items {
			p.lines = append(p.lines, "- "+oneLine(s))
		}
		return p, nil
	case reply.Fields:
		p := passage{}
		for _, f := range b.Items {
			p.lines = append(p.lines, "**"+inline(f.Name)+":** "+inline(f.Value))
		}
		return p, nil
	case reply.Table:
		return tablePassage(b)
	case reply.Rows:
		return passage{title: boldTitle(b.Title), lines: strings.Split(verbatim(strings.Join(b.Lines, "\n")), "\n"), fenced: true}, nil
	case reply.Caution:
		return passage{lines: []string{"⚠️ **" + said.Say("Caution:") + "** " + inline(b.Text)}, keep: true}, nil
	case reply.Tip:
		return passage{lines: []string{"💡 **" + said.Say("Tip:") + "** " + inline(b.Text)}}, nil
	case reply.Picture, reply.File:
		return passage{}, nil
	}
	return passage{}, fmt.Errorf("unknown block %T", b)
}

// errorPassage tells what kept a reply from answering.
func errorPassage(said words.Printer, e *reply.Error) passage {
	p := passage{lines: []string{escape(e.Message)}, keep: true}
	if e.Option != "" {
		p.lines[0] = code(cmp.Or(e.Named, e.Option)) + ": " + p.lines[0]
	}
	if e.Example != "" {
		p.lines = append(p.lines, said.Say("For example:")+" "+code(e.Example))
	}
	return p
}

func boldTitle(s string) string {
	if s = inline(s); s == "" {
		return ""
	}
	return "**" + s + "**"
}

// tablePassage sets a table in aligned columns where they fit a phone, else as
// a list with the heads as names.
func tablePassage(t reply.Table) (passage, error) {
	rows := [][]string{t.Head}
	rows = append(rows, t.Rows...)
	widths := make([]int, len(t.Head))
	for i, r := range rows {
		if len(r) != len(t.Head) {
			return passage{}, fmt.Errorf("row %d of a table has %d cells for %d columns", i, len(r), len(t.Head))
		}
		for j, c := range r {
			widths[j] = max(widths[j], columns.StringWidth(verbatim(single(c))))
		}
	}
	total := 2 * (len(widths) - 1)
	for _, w := range widths {
		total += w
	}
	if total > phone || len(t.Head) == 0 {
		return passage{title: boldTitle(t.Title), lines: listed(t)}, nil
	}
	p := passage{title: boldTitle(t.Title), fenced: true}
	for _, r := range rows {
		cells := make([]string, len(r))
		for j, c := range r {
			cells[j] = verbatim(single(c))
			space := strings.Repeat(" ", widths[j]-columns.StringWidth(cells[j]))
			if j < len(t.Right) && t.Right[j] {
				cells[j] = space + cells[j]
			} else {
				cells[j] += space
			}
		}
		p.lines = append(p.lines, strings.TrimRight(strings.Join(cells, "  "), " "))
	}
	return p, nil
}

var columns = &runewidth.Condition{StrictEmojiNeutral: true}

// listed sets a table as a list: the first cell names the row.
func listed(t reply.Table) []string {
	var lines []string
	for _, r := range t.Rows {
		var rest []string
		for j, c := range r[1:] {
			if strings.TrimSpace(c) != "" {
				rest = append(rest, inline(t.Head[j+1])+" "+inline(c))
			}
		}
		line := "- **" + inline(r[0]) + "**"
		if len(rest) > 0 {
			line += ": " + strings.Join(rest, ", ")
		}
		lines = append(lines, line)
	}
	return lines
}
