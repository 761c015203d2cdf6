package commands

import (
	"context"
	"math"
	"strconv"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/commands/words"
)

// Kind is how a surface should ask for an option's value.
type Kind uint8

// The kinds.
const (
	Text  Kind = iota // any text; typed quantities such as lengths are Text too
	Whole             // a whole number
	Flag              // yes or no
	File              // an attachment in chat, a path in the practice room
)

// Choice is one value offered to the member.
type Choice struct {
	Label string // what the member sees, 1–100 characters
	Value string // what is sent, 1–100 characters
}

// Spec is the part of an option's declaration that surfaces need.
type Spec struct {
	Name     string
	Short    string // 1–100 characters
	Kind     Kind
	Required bool
	Min, Max float64  // for Whole; both zero: no bounds
	Length   int      // the longest text taken, in characters; 0: 200
	Choices  []Choice // a closed list, at most 25
	// Suggest offers values while the member types; nil: none.
	Suggest func(ctx context.Context, r Request, typed string) []Choice
	Example string // a value that works, shown when another did not
}

// Option is an option's declaration, whatever the type of its value. It is
// made by the functions of this file only.
type Option interface {
	Spec() Spec
	read(in Input, s Settings) (any, error)
}

// Input is an option's value as a surface received it.
type Input struct {
	Text string
	File *Attachment
}

// Attachment is a file that a member gave. Its content is fetched only by Load.
type Attachment struct {
	Name string
	Size int64 // bytes
	Load func(context.Context) ([]byte, error)
}

// Opt is an option with values of type T: its declaration, and the key by
// which a handler reads the value.
type Opt[T any] struct {
	spec     Spec
	fallback T
	parse    func(Input, Settings) (T, error)
}

// Spec returns the declaration for surfaces.
func (o *Opt[T]) Spec() Spec { return o.spec }

func (o *Opt[T]) read(in Input, s Settings) (any, error) { return o.parse(in, s) }

// Require makes the option one that must be given.
func (o *Opt[T]) Require() *Opt[T] { o.spec.Required = true; return o }

// Default sets the value that Of returns when the option is not given.
func (o *Opt[T]) Default(v T) *Opt[T] { o.fallback = v; return o }

// Suggest sets what is offered while the member types.
func (o *Opt[T]) Suggest(f func(ctx context.Context, r Request, typed string) []Choice) *Opt[T] {
	o.spec.Suggest = f
	return o
}

// Like sets an example value for the message about one that did not work.
func (o *Opt[T]) Like(example string) *Opt[T] { o.spec.Example = example; return o }

// Of returns the option's value in a request, or its default. It panics when
// the handler's command does not list the option.
func (o *Opt[T]) Of(r Request) T {
	v, given := r.value(o.spec.Name)
	if !given {
		return o.fallback
	}
	return v.(T)
}

// Given reports whether the member gave the option.
func (o *Opt[T]) Given(r Request) bool {
	_, given := r.value(o.spec.Name)
	return given
}

// Blame makes a Mistake about this option.
func (o *Opt[T]) Blame(err error) error {
	return &Mistake{Option: o.spec.Name, Message: "%s", Args: []any{err}, Example: o.spec.Name + ":" + o.spec.Example}
}

// Int declares a whole number between min and max.
func Int(name, short string, min, max int) *Opt[int] {
	o := &Opt[int]{spec: Spec{Name: name, Short: short, Kind: Whole, Min: float64(min), Max: float64(max)}}
	o.spec.Example = strconv.Itoa(max / 4)
	if e := max / 4; e < min {
		o.spec.Example = strconv.Itoa(min)
	}
	o.parse = func(in Input, _ Settings) (int, error) {
		text := strings.TrimSpace(in.Text)
		n, err := strconv.Atoi(strings.TrimPrefix(text, "+"))
		if err != nil {
			return 0, words.Say("%q is not a whole number; it takes %d to %d", text, min, max)
		}
		if n < min || n > max {
			return 0, words.Say("%d is outside what it takes: %d to %d", n, min, max)
		}
		return n, nil
	}
	return o
}

// Number declares a number with decimals between min and max; a comma or a
// point may stand before the decimals.
func Number(name, short string, min, max float64) *Opt[float64] {
	o := &Opt[float64]{spec: Spec{Name: name, Short: short, Kind: Text, Length: 20}}
	o.parse = func(in Input, _ Settings) (float64, error) {
		text := strings.TrimSpace(in.Text)
		n, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
		if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
			return 0, words.Say("%q is not a number; it takes %g to %g", text, min, max)
		}
		if n < min || n > max {
			return 0, words.Say("%g is outside what it takes: %g to %g", n, min, max)
		}
		return n, nil
	}
	return o
}

// Words declares a text of at most length characters.
func Words(name, short string, length int) *Opt[string] {
	o := &Opt[string]{spec: Spec{Name: name, Short: short, Kind: Text, Length: length}}
	o.parse = func(in Input, _ Settings) (string, error) {
		text := strings.TrimSpace(in.Text)
		if text == "" {
			return "", words.Say("it is empty")
		}
		if n := len([]rune(text)); n > length {
			return "", words.Say("it has %d characters; %d are allowed", n, length)
		}
		return text, nil
	}
	return o
}

// OneOf declares a closed list of values.
func OneOf(name, short string, values ...string) *Opt[string] {
	o := &Opt[string]{spec: Spec{Name: name, Short: short, Kind: Text}}
	for _, v := range values {
		o.spec.Choices = append(o.spec.Choices, Choice{Label: v, Value: v})
	}
	o.spec.Example = values[0]
	o.parse = func(in Input, s Settings) (string, error) {
		text := strings.TrimSpace(in.Text)
		for _, v := range values {
			if strings.EqualFold(text, v) || strings.EqualFold(text, words.For(s.Language).Say(words.Key(v))) {
				return v, nil
			}
		}
		return "", words.Say("%q is none of %s", text, words.List(values...))
	}
	return o
}

// YesNo declares a yes-or-no option.
func YesNo(name, short string) *Opt[bool] {
	o := &Opt[bool]{spec: Spec{Name: name, Short: short, Kind: Flag, Example: "yes"}}
	o.parse = func(in Input, _ Settings) (bool, error) {
		switch strings.ToLower(strings.TrimSpace(in.Text)) {
		case "yes", "y", "true", "on", "1", "ja", "sí", "si":
			return true, nil
		case "no", "n", "false", "off", "0", "nein", "nee":
			return false, nil
		}
		return false, words.Say("%q is neither yes nor no", in.Text)
	}
	return o
}

// Value declares a typed quantity that parse reads from text.
func Value[T any](name, short, example string, parse func(text string, s Settings) (T, error)) *Opt[T] {
	return &Opt[T]{
		spec:  Spec{Name: name, Short: short, Kind: Text, Length: 100, Example: example},
		parse: func(in Input, s Settings) (T, error) { return parse(strings.TrimSpace(in.Text), s) },
	}
}

// Length declares a length between min and max, read as people type it; a
// bare number is in the member's unit, and the value says so.
func Length(name, short string, min, max measure.Length) *Opt[measure.Measured] {
	parse := func(text string, s Settings) (measure.Measured, error) {
		m, err := measure.Parse(text, s.Units)
		if err != nil {
			return m, err
		}
		if m.Length < min || m.Length > max {
			return m, words.Say("%s is outside what it takes: %s to %s", m.Length.Text(m.Unit), min.Text(m.Unit), max.Text(m.Unit))
		}
		return m, nil
	}
	return Value(name, short, "107 cm", parse)
}

// Gauge declares a gauge: stitches × rows in 10 cm, or over a stated width.
func Gauge(name, short string) *Opt[gauge.Gauge] {
	return Value(name, short, "14x10", func(text string, _ Settings) (gauge.Gauge, error) { return gauge.Parse(text) })
}

// Upload declares a file of at most size bytes with one of the endings.
func Upload(name, short string, size int64, endings ...string) *Opt[*Attachment] {
	o := &Opt[*Attachment]{spec: Spec{Name: name, Short: short, Kind: File, Example: "pattern" + endings[0]}}
	o.parse = func(in Input, _ Settings) (*Attachment, error) {
		if in.File == nil {
			return nil, words.Say("%q is not a file that can be read", in.Text)
		}
		lower := strings.ToLower(in.File.Name)
		for _, e := range endings {
			if !strings.HasSuffix(lower, e) {
				continue
			}
			if in.File.Size > size {
				return nil, words.Say("the file has %d KB; %d KB are allowed", (in.File.Size+1023)/1024, size/1024)
			}
			return in.File, nil
		}
		return nil, words.Say("%s does not end in %s", in.File.Name, strings.Join(endings, ", "))
	}
	return o
}
