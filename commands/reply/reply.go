// Package reply is what a command answers: blocks of meaning, never markup.
// Surfaces (chat, practice room, JSON) turn a Reply into what their readers
// see.
package reply

import (
	"countwright/commands/picture"
	"countwright/commands/words"
)

// Reply is one answer.
type Reply struct {
	Command string        // the path of the command that answers; filled in by the set
	Words   words.Printer // the language that it is told in, for what surfaces add
	Title   string        // a line
	Parts   []Block
	Actions []Action
	Private bool     // only the asker sees it
	Pings   []string // ids of the members it may ping; nobody by default
	Form    *Form    // asks for more before it can answer; then nothing else is shown
	Data    any      // the same figures as the text, in machine form
	Error   *Error   // what kept it from answering; nil: nothing
}

// Error is a mistake or a refusal as shown.
type Error struct {
	Option  string `json:"option,omitempty"`  // the option at fault; empty: none in particular
	Named   string `json:"-"`                 // its name as the reader knows it; empty: Option
	Message string `json:"message"`           // what was wrong and what is allowed
	Example string `json:"example,omitempty"` // what works
	Kind    Kind   `json:"-"`                 // whose it is, for those who count
}

// Kind is what kind of error kept a reply from answering.
type Kind string

// The kinds.
const (
	Mistake Kind = "mistake" // the member's, who can mend it
	Refusal Kind = "refusal" // nobody's: not now, not here, not for this member
	Fault   Kind = "fault"   // ours
	Late    Kind = "late"    // it took too long
)

// Block is one part of a Reply: Text, Steps, Table, List, Fields, Caution,
// Tip, Picture, Rows or File. The set is sealed.
type Block interface{ block() }

// Text is a paragraph.
type Text struct{ Text string }

// Steps are things to do in order; surfaces number them.
type Steps struct{ Items []string }

// List is things in no order.
type List struct {
	Title string // may be empty
	Items []string
}

// Table has a head and rows of as many cells.
type Table struct {
	Title string // may be empty
	Head  []string
	Rows  [][]string
	Right []bool // columns set to the right (figures); nil: none
}

// Fields are short named values.
type Fields struct{ Items []Field }

// Field is one of Fields.
type Field struct{ Name, Value string }

// Rows is written rows of a pattern, a line each, kept as they stand (so that
// they can be copied).
type Rows struct {
	Title string // the piece or section; may be empty
	Lines []string
}

// Caution is something that could go wrong or hurt.
type Caution struct{ Text string }

// Tip is advice that may be left out.
type Tip struct{ Text string }

// Picture is a drawing with a text that says what it says.
type Picture struct {
	Name    string // file name without ending, "even-shape"
	Alt     string
	Drawing *picture.Drawing
}

// File is attached.
type File struct {
	Name string // with its ending
	Type string // media type
	Alt  string // of a picture: what is on it
	Body []byte
}

func (Text) block()    {}
func (Steps) block()   {}
func (List) block()    {}
func (Table) block()   {}
func (Fields) block()  {}
func (Rows) block()    {}
func (Caution) block() {}
func (Tip) block()     {}
func (Picture) block() {}
func (File) block()    {}

// Action is what the reader can do next with one tap: a Button or a Menu.
type Action interface{ action() }

// Button runs a command line.
type Button struct {
	Label string // at most 80 characters
	Line  string // "/project row n:1", at most 90 characters
}

// Menu offers up to 25 command lines.
type Menu struct {
	Label   string
	Choices []Button
}

func (Button) action() {}
func (Menu) action()   {}

// Form asks for options that are too long for a command line.
type Form struct {
	Title  string // at most 45 characters
	Line   string // the command line that runs with the fields added as options
	Fields []Blank
}

// Blank is one field of a Form, at most 5 of them.
type Blank struct {
	Option   string // the option that it fills in
	Label    string // at most 45 characters
	Hint     string // shown while it is empty, at most 100 characters
	Value    string // what stands in it at first
	Long     bool   // several lines
	Required bool
	Most     int // the longest text, in characters, at most 4000
}

// Mistaken makes the reply to a mistake of the member's: private, with an
// example that works.
func Mistaken(p words.Printer, option string, message words.Message, example string, parts ...Block) Reply {
	return Reply{
		Words: p, Title: p.Say("That did not work"), Private: true, Parts: parts,
		Error: &Error{Option: option, Message: p.Of(message), Example: example, Kind: Mistake},
	}
}

// Refused makes the reply to something that can't be: private.
func Refused(p words.Printer, message words.Key, args ...any) Reply {
	return Reply{Words: p, Title: p.Say("Not this time"), Private: true, Error: &Error{Message: p.Say(message, args...), Kind: Refusal}}
}
