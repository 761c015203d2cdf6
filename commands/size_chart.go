package commands

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"countwright/calc/measure"
	"countwright/calc/sizing"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// The tables that are not sizes of a body.
const (
	easeTable    = "ease"
	blanketTable = "blanket"
)

func sizeChart() *Command {
	names := []string{}
	for _, t := range sizing.Tables() {
		names = append(names, t.Name)
	}
	table := Value("table", "Which table", "woman", readTable).Require()
	for _, name := range append(names, blanketTable, easeTable) {
		table.spec.Choices = append(table.spec.Choices, Choice{Label: name, Value: name})
	}
	only := Words("measure", "Only this measure: chest, upper arm, head", 100).Like("upper arm").Suggest(suggestMeasures)
	size := Words("size", "Only this size, with all its measures", 20).Like("M").Suggest(suggestTableSizes(table))
	return &Command{
		Name: "chart", Short: "The published size tables, ease by fit, and usual blankets",
		Want: "look up body measures, ease and the sizes of blankets", From: "maker",
		Long:     "Measures are of the body, without ease. The whole table comes as files too, with the source of each row.",
		Options:  []Option{table, only, size},
		Examples: []string{"/size chart table:woman", "/size chart table:child size:8", "/size chart table:man measure:upper arm", "/size chart table:ease", "/size chart table:blanket"},
		Run: func(_ context.Context, r Request) (reply.Reply, error) {
			name := table.Of(r)
			if (name == easeTable || name == blanketTable) && (only.Given(r) || size.Given(r)) {
				return reply.Reply{}, Mistaken("/size chart table:"+name, "the table “%s” has neither sizes nor measures to choose", words.Key(name))
			}
			switch name {
			case easeTable:
				return easeChart(r), nil
			case blanketTable:
				return blanketChart(r), nil
			}
			t, err := sizing.Named(name)
			if err != nil {
				return reply.Reply{}, table.Blame(sizeError(err))
			}
			c := chart{in: r.Printer, Table: t, units: r.Settings.Units, measures: measuresOf(t)}
			if only.Given(r) {
				wanted, err := readMeasure(r.Printer, only.Of(r))
				if err != nil {
					return reply.Reply{}, only.Blame(err)
				}
				if _, has := t.Row(wanted); !has {
					return reply.Reply{}, &Mistake{Option: "measure", Message: "the table “%s” has no %s; it has %s", Args: []any{words.Key(t.Name), words.Key(wanted), listing(asArgs(measureKeys(c.measures))...)}, Example: "measure:" + string(t.Key)}
				}
				c.measures, c.only = []sizing.Measure{t.Key}, true
				if wanted != t.Key {
					c.measures = append(c.measures, wanted)
				}
			}
			if size.Given(r) {
				s, err := t.Size(englishSizeOf(r.Printer, t, size.Of(r)))
				if err != nil {
					return reply.Reply{}, &Mistake{Option: "size", Message: "%s", Args: []any{sizeMistake(t, size.Of(r))}, Example: "size:" + t.Sizes[len(t.Sizes)/2].Name}
				}
				return c.sizeReply(s), nil
			}
			return c.reply()
		},
	}
}

// readTable reads the name of a table, by any of its names ("women", "kids").
func readTable(text string, _ Settings) (string, error) {
	plain := strings.ToLower(strings.TrimSpace(text))
	if plain == easeTable || strings.TrimSuffix(plain, "s") == blanketTable {
		return strings.TrimSuffix(plain, "s"), nil
	}
	t, err := sizing.Named(text)
	var unknown *sizing.NameError
	if errors.As(err, &unknown) {
		return "", words.Say("there is no table “%s”; there are %s, %s and %s", clip(text, 30), strings.Join(unknown.Known, ", "), blanketTable, easeTable)
	}
	if err != nil {
		return "", err
	}
	return t.Name, nil
}

// otherMeasures are other names of measures.
var otherMeasures = map[words.Key]sizing.Measure{
	"bust": sizing.Chest, "hip": sizing.Hips, "neck to wrist": sizing.CentreBack, "arm": sizing.ArmLength, "back": sizing.BackLength, "shoulders": sizing.CrossBack,
}

// readMeasure reads the name of a measure, by its own or its option's.
func readMeasure(p words.Printer, text string) (sizing.Measure, error) {
	known := measureKeys(sizing.Measures())
	text = meant(p, text, append(slices.Sorted(maps.Keys(otherMeasures)), known...))
	plain := strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ' ' || r == '_' || r == '-' }), " ")
	if m, known := otherMeasures[words.Key(plain)]; known {
		return m, nil
	}
	var names []string
	for _, m := range known {
		if string(m) == plain {
			return sizing.Measure(m), nil
		}
		names = append(names, string(m))
	}
	if near := nearest(plain, names); near != "" {
		return "", words.Say("there is no measure “%s”; did you mean %s?", clip(text, 30), words.Key(near))
	}
	return "", words.Say("there is no measure “%s”; there are %s", clip(text, 30), listing(asArgs(known)...))
}

func suggestMeasures(_ context.Context, r Request, typed string) []Choice {
	var offers []Choice
	for _, m := range sizing.Measures() {
		if label := r.Say(words.Key(m)); strings.Contains(strings.ToLower(label), strings.ToLower(strings.TrimSpace(typed))) {
			offers = append(offers, Choice{Label: label, Value: string(m)})
		}
	}
	return offers
}

// suggestTableSizes offers the sizes of the table that is already given.
func suggestTableSizes(table *Opt[string]) func(context.Context, Request, string) []Choice {
	return func(_ context.Context, r Request, typed string) []Choice {
		t, err := sizing.Named(table.Of(r))
		if err != nil {
			return nil
		}
		var offers []Choice
		for _, s := range t.Sizes {
			if label := r.Say(words.Key(s.Name)); strings.Contains(strings.ToLower(label), strings.ToLower(strings.TrimSpace(typed))) {
				offers = append(offers, Choice{Label: label, Value: s.Name})
			}
		}
		return offers
	}
}

func measuresOf(t *sizing.Table) []sizing.Measure {
	var all []sizing.Measure
	for _, m := range sizing.Measures() {
		if _, has := t.Row(m); has {
			all = append(all, m)
		}
	}
	return all
}

func measureKeys(all []sizing.Measure) []words.Key {
	names := make([]words.Key, len(all))
	for i, m := range all {
		names[i] = words.Key(m)
	}
	return names
}

// englishSizeOf is a table's size by its English name where it was written in
// the printer's language; else as it was written.
func englishSizeOf(p words.Printer, t *sizing.Table, name string) string {
	var names []words.Key
	for _, s := range t.Sizes {
		names = append(names, words.Key(s.Name))
	}
	return meant(p, name, names)
}

// chart is a size table as it is shown.
type chart struct {
	*sizing.Table
	in       words.Printer
	units    measure.Unit
	measures []sizing.Measure
	only     bool // the measures were chosen: nothing is held back
}

// narrowColumns is how many columns of figures a narrow phone shows before its
// lines wrap.
const narrowColumns = 38

// tables sets measures beside the sizes, in as many tables as a narrow phone
// needs: each measure in the first that has room for it.
func (c chart) tables(measures []sizing.Measure) []reply.Table {
	var all []reply.Table
	var used []int // columns of each
	column := c.sizeColumn()
	names := utf8.RuneCountInString(column.Head[0])
	for _, row := range column.Rows {
		names = max(names, utf8.RuneCountInString(row[0]))
	}
	for _, m := range measures {
		row, _ := c.Row(m)
		head := c.in.Say(shortMeasure(m))
		cells := make([]string, len(row.Ranges))
		width := utf8.RuneCountInString(head)
		for i, span := range row.Ranges {
			cells[i] = tableRange(span, c.units)
			width = max(width, utf8.RuneCountInString(cells[i]))
		}
		at := slices.IndexFunc(used, func(u int) bool { return u+2+width <= narrowColumns })
		if at < 0 {
			at = len(all)
			all, used = append(all, c.sizeColumn()), append(used, names)
		}
		t := &all[at]
		used[at] += 2 + width
		t.Head, t.Right = append(t.Head, head), append(t.Right, true)
		for i := range t.Rows {
			t.Rows[i] = append(t.Rows[i], cells[i])
		}
	}
	return all
}

// sizeColumn is a table that has the sizes and no measure yet.
func (c chart) sizeColumn() reply.Table {
	t := reply.Table{Head: c.in.Each("Size"), Right: []bool{false}}
	for _, s := range c.Sizes {
		t.Rows = append(t.Rows, c.in.Each(words.Key(s.Name)))
	}
	return t
}

// shortMeasure is a measure's name for a narrow column.
func shortMeasure(m sizing.Measure) words.Key {
	short := map[sizing.Measure]words.Key{
		sizing.CrossBack: "cross bk", sizing.CentreBack: "to wrist", sizing.BackLength: "back", sizing.HipLength: "to hip",
		sizing.ArmLength: "arm", sizing.UpperArm: "upper", sizing.ArmholeDepth: "armhole", sizing.HandLength: "hand l.", sizing.FootLength: "foot l.",
	}
	if s, ok := short[m]; ok {
		return s
	}
	return words.Key(m)
}

// firstMeasures is how many of a table's measures stand in the message; the
// rest is in the files.
const firstMeasures = 6

func (c chart) reply() (reply.Reply, error) {
	shown := c.measures
	more := !c.only && len(shown) > firstMeasures
	if more {
		shown = shownFirst(c.measures)
	}
	var parts []reply.Block
	for _, t := range c.tables(shown) {
		parts = append(parts, t)
	}
	if legend := c.legendOf(shown); legend != "" {
		parts = append(parts, reply.Text{Text: legend})
	}
	text := c.in.Say("In %s, of the body, without ease. Source: %s%s.", words.Key(unitName(c.units)), words.Key(c.Source), basisNote(c.Basis))
	parts = append(parts, reply.Text{Text: text})
	if len(c.Oddities) > 0 {
		parts = append(parts, reply.List{Title: c.in.Say("As published, oddities kept"), Items: c.in.Each(oddityKeys(c.Table)...)})
	}
	whole := c
	whole.measures = measuresOf(c.Table)
	plain, err := whole.plain()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("write the table: %w", err)
	}
	file := strings.ReplaceAll(strings.ToLower(c.Name), " ", "-") + "-sizes"
	parts = append(parts, reply.File{Name: file + ".txt", Type: "text/plain; charset=utf-8", Body: []byte(plain)},
		reply.File{Name: file + ".csv", Type: "text/csv; charset=utf-8", Body: []byte(whole.csv())})
	if more {
		parts = append(parts, reply.Tip{Text: c.in.Say("The files hold all %d measures with the source of each. One size whole: /size chart table:%s size:%s", len(whole.measures), c.Name, c.Sizes[len(c.Sizes)/2].Name)})
	}
	if c.Audience == sizing.Infant {
		parts = append(parts, reply.Tip{Text: c.in.Say("Babies differ more than tables do: measure the chest and the head, and leave room to grow.")})
	}
	next := []reply.Action{}
	if c.Key == sizing.Chest {
		next = append(next, reply.Button{Label: c.in.Say("Ease: how loose?"), Line: "/size chart table:ease"})
	}
	return reply.Reply{Title: c.in.Say("%s (%s)", words.Key(c.Title), standardOf(c.Table)), Parts: parts, Actions: next, Data: c.data(c.measures)}, nil
}

// shownFirst is the measures of a table that are asked for most.
func shownFirst(all []sizing.Measure) []sizing.Measure {
	var first []sizing.Measure
	for _, m := range []sizing.Measure{sizing.Chest, sizing.Waist, sizing.Hips, sizing.CrossBack, sizing.ArmLength, sizing.UpperArm, sizing.BackLength, sizing.Head} {
		for _, has := range all {
			if has == m && len(first) < firstMeasures {
				first = append(first, m)
			}
		}
	}
	return first
}

// legendOf explains the measures whose heads are cut short.
func (c chart) legendOf(measures []sizing.Measure) string {
	var items []string
	for _, m := range measures {
		if s := shortMeasure(m); s != words.Key(m) && c.in.Say(s) != c.in.Say(words.Key(m)) {
			items = append(items, c.in.Say(s)+" = "+c.in.Say(words.Key(m)))
		}
	}
	return strings.Join(items, ", ")
}

func basisNote(b sizing.Basis) words.Key {
	switch b {
	case sizing.Memory:
		return " (from memory)"
	case sizing.Derived:
		return " (derived)"
	case sizing.Practice:
		return " (common practice)"
	}
	return ""
}

func oddityKeys(t *sizing.Table) []words.Key {
	var all []words.Key
	for _, o := range t.Oddities {
		all = append(all, words.Key(o))
	}
	return all
}

// plain is the whole table as a text, with the source of each row.
func (c chart) plain() (string, error) {
	whole := reply.Reply{Title: c.in.Say("%s: sizes, in %s, of the body", words.Key(c.Title), words.Key(unitName(c.units))), Words: c.in}
	for _, t := range c.tables(c.measures) {
		whole.Parts = append(whole.Parts, t)
	}
	var sources []string
	for _, row := range c.Rows {
		sources = append(sources, c.in.Say("%s, %s: %s%s", words.Key(row.Measure), words.Key(row.Measure.How()), words.Key(row.Source), basisNote(row.Basis)))
	}
	whole.Parts = append(whole.Parts, reply.List{Title: c.in.Say("How each is measured, and its source"), Items: sources})
	return reply.Plain(whole)
}

// csv is the whole table for a spreadsheet: a row for each size and measure.
func (c chart) csv() string {
	var b strings.Builder
	unit := unitName(c.units)
	fmt.Fprintf(&b, "size,measure,low %s,high %s,basis,source\r\n", unit, unit)
	for i, s := range c.Sizes {
		for _, row := range c.Rows {
			span := row.Ranges[i]
			fmt.Fprintf(&b, "%s,%s,%s,%s,%s,\"%s\"\r\n", s.Name, row.Measure, trimmed(round2(span.Low.In(c.units))), trimmed(round2(span.High.In(c.units))), row.Basis, strings.ReplaceAll(row.Source, `"`, `""`))
		}
	}
	return b.String()
}

func (c chart) data(measures []sizing.Measure) map[string]any {
	var sizes []map[string]any
	for _, s := range c.Sizes {
		figures := map[string]any{}
		for _, m := range measures {
			figures[string(m)] = []float64{round2(s.Ranges[m].Low.MM()), round2(s.Ranges[m].High.MM())}
		}
		sizes = append(sizes, map[string]any{"size": s.Name, "mm": figures})
	}
	return map[string]any{"table": c.Name, "source": c.Source, "basis": c.Basis, "sizes": sizes}
}

// sizeReply is one size with all its measures.
func (c chart) sizeReply(s sizing.Size) reply.Reply {
	var items []reply.Field
	figures := map[string]any{}
	for _, m := range c.measures {
		span := s.Ranges[m]
		row, _ := c.Row(m)
		items = append(items, reply.Field{Name: upperFirst(c.in.Say(words.Key(m))), Value: tableRange(span, c.units) + " " + c.units.String() + c.in.Say(basisNote(row.Basis))})
		figures[string(m)] = []float64{round2(span.Low.MM()), round2(span.High.MM())}
	}
	return reply.Reply{
		Title:   c.in.Say("%s, size %s", words.Key(c.Title), words.Key(s.Name)),
		Parts:   []reply.Block{reply.Fields{Items: items}, reply.Text{Text: c.in.Say("Of the body, without ease. Source: %s%s.", words.Key(c.Source), basisNote(c.Basis))}},
		Actions: []reply.Action{reply.Button{Label: c.in.Say("The whole table"), Line: "/size chart table:" + c.Name}},
		Data:    map[string]any{"table": c.Name, "size": s.Name, "mm": figures},
	}
}
