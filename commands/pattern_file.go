package commands

import (
	"errors"
	"fmt"

	"countwright/calc/grade"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
	"countwright/commands/words"
)

// workFile reads a pattern file, makes it in every size of its first table at
// its own gauge, and works the rows of the middle one.
func workFile(r Request, t written, opt reading) (*checked, error) {
	p, err := pattern.Read(t.name, []byte(t.text))
	if err != nil {
		return nil, fileMistake(t, err)
	}
	bodies, err := bodiesOf(p)
	if err != nil {
		return nil, fileMistake(t, err)
	}
	c := &checked{Printer: r.Printer, written: t, reading: opt}
	for i, b := range bodies {
		g, err := grade.Make(p, grade.Order{Body: b.body, Gauge: p.Gauge})
		if err != nil {
			return nil, fileMistake(t, fmt.Errorf("%s: %w", b.name, err))
		}
		if i == len(bodies)/2 {
			c.doc = g.Written
			c.assumed = append(c.assumed, words.Say("the counts are those of %s, at the file's own gauge", b.name))
		}
	}
	if n := len(bodies); n > 1 {
		c.assumed = append(c.assumed, words.Say("all %d sizes of its first table can be made", n))
	}
	c.start = 0
	c.run()
	return c, nil
}

type namedBody struct {
	name words.Message
	body sizing.Body
}

// bodiesOf are the sizes that a pattern file is made to: those of its first
// table; else as its maker asks by default.
func bodiesOf(p *pattern.Pattern) ([]namedBody, error) {
	if len(p.Tables) == 0 {
		return []namedBody{{name: words.Say("its own size")}}, nil
	}
	table, err := sizing.Named(p.Tables[0])
	if err != nil {
		return nil, err
	}
	var all []namedBody
	for _, size := range table.Sizes {
		c, err := table.Complete(size.Body())
		if err != nil {
			return nil, err
		}
		all = append(all, namedBody{words.Say("size %s", size.Name), c.Body})
	}
	return all, nil
}

// fileMistake tells what is wrong with a pattern file, with its place.
func fileMistake(t written, err error) error {
	m := &Mistake{Option: "file", Message: "%s", Args: []any{err}, Example: "/pattern check file:pattern.toml"}
	var wrong *pattern.FileError
	if errors.As(err, &wrong) && wrong.Line > 0 {
		if lines := underlinedLine(t.text, wrong.Line); lines != nil {
			m.Parts = append(m.Parts, lines)
		}
	}
	return m
}
