package commands

import (
	"cmp"

	"countwright/commands/words"
)

// NameIn is the command's own name in the printer's language.
func (c *Command) NameIn(p words.Printer) string {
	return cmp.Or(p.Called(c.Path(), c.Name), c.Name)
}

// OptionIn is the name of one of the command's options in the printer's
// language.
func (c *Command) OptionIn(p words.Printer, name string) string {
	return cmp.Or(p.Called(c.Path()+":"+name, ":"+name, name), name)
}

// PathIn is the command's full name in the printer's language, without the
// slash.
func (c *Command) PathIn(p words.Printer) string {
	if c.family == "" {
		return c.NameIn(p)
	}
	return cmp.Or(p.Called(c.family), c.family) + " " + c.NameIn(p)
}
