package reply

import (
	"bytes"
	"encoding/json"
	"fmt"
	"unicode/utf16"
	"unicode/utf8"
)

// SavedPicture is a picture of a reply as it was written somewhere.
type SavedPicture struct {
	Path string `json:"path"`
	Alt  string `json:"alt"`
}

// SavedFile is a file of a reply as it was written somewhere.
type SavedFile struct {
	Name string `json:"name"`
	Path string `json:"path"`
}

// answer is the machine-readable reply. Keys may be added, never renamed.
type answer struct {
	Command  string           `json:"command"`
	OK       bool             `json:"ok"`
	Title    string           `json:"title"`
	Parts    []map[string]any `json:"parts"`
	Pictures []SavedPicture   `json:"pictures"`
	Files    []SavedFile      `json:"files"`
	Actions  []map[string]any `json:"actions"`
	Form     map[string]any   `json:"form,omitempty"`
	Private  bool             `json:"private"`
	Data     any              `json:"data"`
	Error    *refusal         `json:"error"`
}

type refusal struct {
	Option  string `json:"option"`
	Named   string `json:"-"`
	Message string `json:"message"`
	Example string `json:"example"`
	Kind    Kind   `json:"-"`
}

// JSON prints a reply as one object on one line, with its line break. Parts
// and actions name their kind in "kind"; what is empty is [] or null, never
// absent. It fails on a block or an action that it does not know, and on Data
// that has no machine form.
func JSON(r Reply, pictures []SavedPicture, files []SavedFile) ([]byte, error) {
	a := answer{
		Command: r.Command, OK: r.Error == nil, Title: r.Title, Private: r.Private, Data: r.Data, Error: (*refusal)(r.Error),
		Parts: []map[string]any{}, Pictures: append([]SavedPicture{}, pictures...), Files: append([]SavedFile{}, files...),
		Actions: []map[string]any{},
	}
	for i, b := range r.Parts {
		part, err := partObject(b)
		if err != nil {
			return nil, fmt.Errorf("print part %d of the reply: %w", i+1, err)
		}
		a.Parts = append(a.Parts, part)
	}
	for _, x := range r.Actions {
		action, err := actionObject(x)
		if err != nil {
			return nil, err
		}
		a.Actions = append(a.Actions, action)
	}
	if r.Form != nil {
		a.Form = formObject(r.Form)
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(a); err != nil {
		return nil, fmt.Errorf("print reply: %w", err)
	}
	return escapeSteering(out.Bytes()), nil
}

// escapeSteering writes as \u what JSON allows as it is but a terminal would
// obey.
func escapeSteering(line []byte) []byte {
	var out []byte
	for _, r := range string(line) {
		switch {
		case r == '\n' || r == utf8.RuneError || !steering(r):
			out = utf8.AppendRune(out, r)
		case r > 0xFFFF:
			high, low := utf16.EncodeRune(r)
			out = fmt.Appendf(out, `\u%04x\u%04x`, high, low)
		default:
			out = fmt.Appendf(out, `\u%04x`, r)
		}
	}
	return out
}

func partObject(b Block) (map[string]any, error) {
	switch b := b.(type) {
	case Text:
		return map[string]any{"kind": "text", "text": b.Text}, nil
	case Steps:
		return map[string]any{"kind": "steps", "items": list(b.Items)}, nil
	case List:
		return map[string]any{"kind": "list", "title": b.Title, "items": list(b.Items)}, nil
	case Table:
		return map[string]any{"kind": "table", "title": b.Title, "head": list(b.Head), "rows": list(b.Rows)}, nil
	case Fields:
		items := make([]map[string]string, len(b.Items))
		for i, f := range b.Items {
			items[i] = map[string]string{"name": f.Name, "value": f.Value}
		}
		return map[string]any{"kind": "fields", "items": items}, nil
	case Rows:
		return map[string]any{"kind": "rows", "title": b.Title, "lines": list(b.Lines)}, nil
	case Caution:
		return map[string]any{"kind": "caution", "text": b.Text}, nil
	case Tip:
		return map[string]any{"kind": "tip", "text": b.Text}, nil
	case Picture:
		return map[string]any{"kind": "picture", "name": b.Name, "alt": b.Alt}, nil
	case File:
		o := map[string]any{"kind": "file", "name": b.Name, "type": b.Type, "bytes": len(b.Body)}
		if b.Alt != "" {
			o["alt"] = b.Alt
		}
		return o, nil
	default:
		return nil, fmt.Errorf("unknown block %T", b)
	}
}

func actionObject(a Action) (map[string]any, error) {
	switch a := a.(type) {
	case Button:
		return map[string]any{"kind": "button", "label": a.Label, "line": a.Line}, nil
	case Menu:
		choices := make([]map[string]string, len(a.Choices))
		for i, c := range a.Choices {
			choices[i] = map[string]string{"label": c.Label, "line": c.Line}
		}
		return map[string]any{"kind": "menu", "label": a.Label, "choices": choices}, nil
	default:
		return nil, fmt.Errorf("unknown action %T", a)
	}
}

func formObject(f *Form) map[string]any {
	fields := make([]map[string]any, len(f.Fields))
	for i, b := range f.Fields {
		fields[i] = map[string]any{"option": b.Option, "label": b.Label, "hint": b.Hint, "long": b.Long, "required": b.Required, "most": b.Most}
		if b.Value != "" {
			fields[i]["value"] = b.Value
		}
	}
	return map[string]any{"title": f.Title, "line": f.Line, "fields": fields}
}

// list makes an absent list an empty one.
func list[T any](items []T) []T {
	if items == nil {
		return []T{}
	}
	return items
}
