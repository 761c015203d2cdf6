package reply

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"countwright/commands/words"
)

// TerminalOptions says how Terminal prints.
type TerminalOptions struct {
	Width  int  // columns; 0: 80; at least 24
	Colour bool // uses the colours of a terminal; words carry the meaning either way
	// Saved tells where a picture or a file of the reply was written, by its
	// block; nil or "": its name is printed.
	Saved func(Block) string
}

// Terminal prints a reply for a terminal. What members wrote can't steer the
// terminal: see Visible. It fails on a block or an action that it does not
// know.
func Terminal(r Reply, opt TerminalOptions) (string, error) {
	if opt.Width == 0 {
		opt.Width = 80
	}
	return printed(r, &page{width: max(narrow, opt.Width), colour: opt.Colour, saved: opt.Saved, actions: true})
}

// narrow is the least width of a terminal that is printed for.
const narrow = 24

// Plain prints the whole reply as the body of a text file: without what can
// be done next, and with pictures told in words.
func Plain(r Reply) (string, error) {
	return printed(r, &page{width: 80})
}

// page is a text in the making.
type page struct {
	strings.Builder
	words   words.Printer
	width   int
	colour  bool
	actions bool
	saved   func(Block) string
}

func printed(r Reply, p *page) (string, error) {
	p.words = r.Words
	p.heading(r)
	if r.Error != nil {
		p.error(r.Error)
	}
	for i, b := range r.Parts {
		p.gap()
		if err := p.block(b); err != nil {
			return "", fmt.Errorf("print part %d of the reply: %w", i+1, err)
		}
	}
	if r.Form != nil {
		p.gap()
		p.form(r.Form)
	}
	if p.actions && len(r.Actions) > 0 {
		p.gap()
		p.line(p.bold(p.words.Say("Next:")))
		for _, a := range r.Actions {
			if err := p.action(a); err != nil {
				return "", err
			}
		}
	}
	return p.String(), nil
}

func (p *page) line(s string) { p.WriteString(strings.TrimRight(s, " ") + "\n") }

// gap leaves an empty line between two parts.
func (p *page) gap() {
	if p.Len() > 0 {
		p.WriteByte('\n')
	}
}

// Colours of a terminal, by meaning.
const (
	bold    = "1"
	warning = "1;33"
	advice  = "1;36"
	wrong   = "1;31"
	aside   = "2"
)

func (p *page) tint(code, s string) string {
	if !p.colour || code == "" || s == "" {
		return s
	}
	return "\x1b[" + code + "m" + s + "\x1b[0m"
}

func (p *page) bold(s string) string { return p.tint(bold, s) }

// hang prints a paragraph whose first line begins with lead and whose others
// are set in under its text.
func (p *page) hang(lead, code, s string) {
	in := width(lead)
	for i, l := range wrap(s, max(10, p.width-in)) {
		switch {
		case i == 0 && l == "":
			l = p.tint(code, strings.TrimRight(lead, " "))
		case i == 0:
			l = p.tint(code, lead) + l
		case l != "":
			l = strings.Repeat(" ", in) + l
		}
		p.line(l)
	}
}

func (p *page) heading(r Reply) {
	title := oneLine(r.Title)
	longest := 0
	if title != "" {
		for _, l := range wrap(title, p.width) {
			p.line(p.bold(l))
			longest = max(longest, width(l))
		}
		p.line(p.tint(aside, strings.Repeat("─", longest)))
	}
	if r.Private && p.actions {
		p.line(p.tint(aside, p.words.Say("(only you can see this)")))
	}
}

func (p *page) error(e *Error) {
	p.gap()
	lead := ""
	if e.Option != "" {
		lead = oneLine(cmp.Or(e.Named, e.Option)) + ": "
	}
	p.hang(lead, wrong, e.Message)
	if e.Example != "" { // whole, so that it can be copied
		p.line(p.bold(p.words.Say("For example:")+" ") + oneLine(e.Example))
	}
}

func (p *page) block(b Block) error {
	switch b := b.(type) {
	case Text:
		p.hang("", "", b.Text)
	case Steps:
		digits := len(strconv.Itoa(len(b.Items)))
		for i, s := range b.Items {
			p.hang(fill(strconv.Itoa(i+1), digits, true)+". ", bold, s)
		}
	case List:
		p.subtitle(b.Title)
		for _, s := range b.Items {
			p.hang("- ", "", s)
		}
	case Table:
		p.subtitle(b.Title)
		return p.table(b)
	case Fields:
		p.fields(b)
	case Rows:
		p.subtitle(b.Title)
		for _, l := range b.Lines {
			p.line("  " + strings.ReplaceAll(Visible(l), "\n", "\n  "))
		}
	case Caution:
		p.hang(p.words.Say("Caution:")+" ", warning, b.Text)
	case Tip:
		p.hang(p.words.Say("Tip:")+" ", advice, b.Text)
	case Picture:
		p.attached("Picture:", b, b.Name)
		p.hang("  ", "", b.Alt)
	case File:
		p.attached("File:", b, b.Name)
		if b.Alt != "" {
			p.hang("  ", "", b.Alt)
		}
	default:
		return fmt.Errorf("unknown block %T", b)
	}
	return nil
}

// fields sets values beside their names; a long name stands above its value.
func (p *page) fields(b Fields) {
	names := 0
	for _, f := range b.Items {
		if w := width(oneLine(f.Name)); w <= p.width/2 {
			names = max(names, w)
		}
	}
	for _, f := range b.Items {
		name := oneLine(f.Name)
		if width(name) <= p.width/2 {
			p.hang(fill(name, names, false)+"  ", bold, f.Value)
			continue
		}
		for _, l := range wrap(name, p.width) {
			p.line(p.bold(l))
		}
		p.hang("  ", "", f.Value)
	}
}

func (p *page) subtitle(s string) {
	if s != "" {
		p.hang("", "", s)
	}
}

// attached prints where a picture or a file is.
func (p *page) attached(kind words.Key, b Block, name string) {
	place := name
	if p.saved != nil {
		if at := p.saved(b); at != "" {
			place = at
		}
	}
	p.line(p.bold(p.words.Say(kind)+" ") + oneLine(place))
}

func (p *page) form(f *Form) {
	p.line(p.bold(oneLine(f.Title)))
	p.line(p.words.Say("Send this line, with the parts below filled in:"))
	line := oneLine(f.Line)
	for _, b := range f.Fields {
		line += " " + b.Option + `:"…"`
	}
	p.line("  " + line)
	names := 0
	for _, b := range f.Fields {
		names = max(names, width(b.Option))
	}
	for _, b := range f.Fields {
		limits := []string{p.words.Say("may be left out")}
		if b.Required {
			limits[0] = p.words.Say("needed")
		}
		if b.Long {
			limits = append(limits, p.words.Say("several lines"))
		}
		if b.Most > 0 {
			limits = append(limits, p.words.Say("at most %d characters", b.Most))
		}
		text := oneLine(b.Label) + " (" + strings.Join(limits, ", ") + ")"
		if b.Hint != "" {
			text += ". " + oneLine(b.Hint)
		}
		if b.Value != "" {
			text += ". Now: " + oneLine(b.Value)
		}
		p.hang("  "+fill(b.Option, names, false)+"  ", bold, text)
	}
}

func (p *page) action(a Action) error {
	switch a := a.(type) {
	case Button:
		p.button("  ", a)
	case Menu:
		p.line("  " + oneLine(a.Label) + ":")
		for _, c := range a.Choices {
			p.button("    ", c)
		}
	default:
		return fmt.Errorf("unknown action %T", a)
	}
	return nil
}

// button prints what to type for it; the line stays whole, so that it can be
// copied.
func (p *page) button(in string, b Button) {
	p.line(in + p.bold("["+oneLine(b.Label)+"]") + " " + oneLine(b.Line))
}
