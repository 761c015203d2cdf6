package chat

import (
	"strconv"
	"strings"

	"countwright/commands/reply"
)

// The service's limits of what can be tapped and filled in.
const (
	mostRows        = 5
	buttonsInRow    = 5
	mostChoices     = 25
	mostCustomID    = 100
	mostButtonLabel = 80
	mostChoiceLabel = 100
	mostPlaceholder = 150
	mostFormTitle   = 45
	mostFormFields  = 5
	mostFieldText   = 4000
)

// Kinds of component.
const (
	kindRow = iota + 1
	kindButton
	kindMenu
	kindInput
)

// component is a part of a message or form that can be tapped or filled in.
type component struct {
	Type        int         `json:"type"`
	Components  []component `json:"components,omitempty"`
	CustomID    string      `json:"custom_id,omitempty"`
	Label       string      `json:"label,omitempty"`
	Style       int         `json:"style,omitempty"`
	Placeholder string      `json:"placeholder,omitempty"`
	Value       string      `json:"value,omitempty"`
	Options     []choice    `json:"options,omitempty"`
	Required    *bool       `json:"required,omitempty"`
	MaxLength   int         `json:"max_length,omitempty"`
}

type choice struct {
	Label string `json:"label"`
	Value string `json:"value"`
}

// A custom id is "cw1", a number that tells apart two buttons of the same
// line, a colon, and the command line. It is all that a button knows, so an
// old one works after a restart; the 1 is raised when lines change meaning.
const idPrefix = "cw1"

func customID(n int, line string) string {
	return idPrefix + strconv.Itoa(n) + ":" + line
}

// customLine returns the command line of a custom id, and false for one that
// was not made by this version.
func customLine(id string) (string, bool) {
	rest, ours := strings.CutPrefix(id, idPrefix)
	number, line, colon := strings.Cut(rest, ":")
	if _, err := strconv.Atoi(number); !ours || !colon || err != nil {
		return "", false
	}
	return line, true
}

// componentsOf lays out actions in rows. Those that no component can hold come
// back as lines to read.
func componentsOf(actions []reply.Action) (rows []component, spare []string) {
	rows = []component{}
	var last *component // the row of buttons that is being filled
	n := 0
	for _, a := range actions {
		switch a := a.(type) {
		case reply.Button:
			n++
			id := customID(n, a.Line)
			full := last == nil || len(last.Components) == buttonsInRow
			if length(id) > mostCustomID || single(a.Label) == "" || full && len(rows) == mostRows {
				spare = append(spare, spareLine(a))
				continue
			}
			if full {
				rows = append(rows, component{Type: kindRow})
				last = &rows[len(rows)-1]
			}
			last.Components = append(last.Components, component{Type: kindButton, Style: 2, Label: cut(single(a.Label), mostButtonLabel), CustomID: id})
		case reply.Menu:
			last = nil
			menus, more := menusOf(a, &n, mostRows-len(rows))
			rows = append(rows, menus...)
			spare = append(spare, more...)
		}
	}
	return rows, spare
}

// menusOf makes as many menus of 25 choices as are needed and have room.
func menusOf(m reply.Menu, n *int, room int) (rows []component, spare []string) {
	var choices []choice
	seen := map[string]bool{}
	for _, b := range m.Choices {
		label := cut(single(b.Label), mostChoiceLabel)
		switch id := customID(0, b.Line); {
		case seen[id]:
		case length(id) > mostCustomID, label == "", len(choices) == room*mostChoices:
			spare = append(spare, spareLine(b))
		default:
			choices = append(choices, choice{Label: label, Value: id})
			seen[id] = true
		}
	}
	for len(choices) > 0 {
		*n++
		count := min(len(choices), mostChoices)
		menu := component{Type: kindMenu, CustomID: customID(*n, ""), Placeholder: cut(single(m.Label), mostPlaceholder), Options: choices[:count]}
		rows = append(rows, component{Type: kindRow, Components: []component{menu}})
		choices = choices[count:]
	}
	return rows, spare
}

func spareLine(b reply.Button) string { return "- " + oneLine(b.Label) + ": " + code(b.Line) }

// form is a modal window of the service.
type form struct {
	CustomID   string      `json:"custom_id"`
	Title      string      `json:"title"`
	Components []component `json:"components"`
}

// formOf makes the window for a form, and false when the service can't hold
// it.
func formOf(f reply.Form) (form, bool) {
	w := form{CustomID: customID(0, f.Line), Title: cut(single(f.Title), mostFormTitle)}
	if length(w.CustomID) > mostCustomID || w.Title == "" || len(f.Fields) == 0 || len(f.Fields) > mostFormFields {
		return form{}, false
	}
	for _, b := range f.Fields {
		required, style, most := b.Required, 1, b.Most
		if b.Long {
			style = 2
		}
		if most <= 0 || most > mostFieldText {
			most = mostFieldText
		}
		label := cut(single(b.Label), mostFormTitle)
		if label == "" {
			label = b.Option
		}
		w.Components = append(w.Components, component{Type: kindRow, Components: []component{{
			Type: kindInput, CustomID: b.Option, Label: label, Style: style, Placeholder: cut(single(b.Hint), mostChoiceLabel), Value: cut(b.Value, most), Required: &required, MaxLength: most,
		}}})
	}
	return w, true
}
