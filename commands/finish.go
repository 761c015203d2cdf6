package commands

import (
	"countwright/commands/reply"
	"countwright/commands/words"
)

// finished is a reply as its reader gets it: it knows its language, and the
// decimals in its prose have the language's own sign. Written rows, command
// lines, files and figures in machine form stay as they are.
func finished(p words.Printer, r reply.Reply) reply.Reply {
	r.Words = p
	if p.English() {
		return r
	}
	r.Title = p.Decimals(r.Title)
	parts := make([]reply.Block, len(r.Parts))
	for i, b := range r.Parts {
		parts[i] = finishedBlock(p, b)
	}
	r.Parts = parts
	if r.Error != nil {
		e := *r.Error
		e.Message = p.Decimals(e.Message)
		r.Error = &e
	}
	actions := make([]reply.Action, len(r.Actions))
	for i, a := range r.Actions {
		switch a := a.(type) {
		case reply.Button:
			a.Label = p.Decimals(a.Label)
			actions[i] = a
		case reply.Menu:
			choices := make([]reply.Button, len(a.Choices))
			for j, c := range a.Choices {
				c.Label = p.Decimals(c.Label)
				choices[j] = c
			}
			a.Choices = choices
			actions[i] = a
		}
	}
	r.Actions = actions
	return r
}

func finishedBlock(p words.Printer, b reply.Block) reply.Block {
	switch b := b.(type) {
	case reply.Text:
		return reply.Text{Text: p.Decimals(b.Text)}
	case reply.Caution:
		return reply.Caution{Text: p.Decimals(b.Text)}
	case reply.Tip:
		return reply.Tip{Text: p.Decimals(b.Text)}
	case reply.Steps:
		return reply.Steps{Items: decimals(p, b.Items)}
	case reply.List:
		b.Items = decimals(p, b.Items)
		return b
	case reply.Table:
		rows := make([][]string, len(b.Rows))
		for i, r := range b.Rows {
			rows[i] = decimals(p, r)
		}
		b.Rows, b.Head = rows, decimals(p, b.Head)
		return b
	case reply.Fields:
		items := make([]reply.Field, len(b.Items))
		for i, f := range b.Items {
			items[i] = reply.Field{Name: f.Name, Value: p.Decimals(f.Value)}
		}
		return reply.Fields{Items: items}
	case reply.Picture:
		b.Alt = p.Decimals(b.Alt)
		return b
	}
	return b
}

func decimals(p words.Printer, texts []string) []string {
	out := make([]string, len(texts))
	for i, t := range texts {
		out[i] = p.Decimals(t)
	}
	return out
}
