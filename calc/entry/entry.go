// Package entry reads the data files of the dictionaries: strict TOML, one
// table an entry, with errors that a person who edits such a file can follow.
package entry

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"

	"github.com/pelletier/go-toml/v2"
)

// Error says what is wrong with one entry of a data file.
type Error struct {
	File  string // the file's name within its folder
	Entry string // the entry's id
	Wrong string // what is wrong, without a capital or a full stop
}

// Error names the file and the entry.
func (e *Error) Error() string { return fmt.Sprintf("%s: entry %q: %s", e.File, e.Entry, e.Wrong) }

// Decode reads one file into a struct. A key that the struct does not have, a
// value of the wrong kind and broken TOML are errors that name the file and
// the line.
func Decode(file string, data []byte, into any) error {
	err := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields().Decode(into)
	var strict *toml.StrictMissingError
	var at *toml.DecodeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &strict):
		return fmt.Errorf("%s: a key that no entry has:\n%s", file, strict.String())
	case errors.As(err, &at):
		return fmt.Errorf("%s: can't be read:\n%s", file, at.String())
	}
	return fmt.Errorf("%s: can't be read: %w", file, err)
}

// Each reads the files of the given names in their order into values of one
// type and hands them to use. Faults of all files are reported together.
func Each[T any](folder fs.FS, names []string, use func(file string, content T)) error {
	var faults []error
	for _, name := range names {
		data, err := fs.ReadFile(folder, name)
		if err != nil {
			faults = append(faults, fmt.Errorf("%s: %w", name, err))
			continue
		}
		var content T
		if err := Decode(name, data, &content); err != nil {
			faults = append(faults, err)
			continue
		}
		use(name, content)
	}
	return errors.Join(faults...)
}

// Faults collects what is wrong with the entries of a folder.
type Faults struct {
	File, Entry string // of the entry under test
	errs        []error
}

// Need records a fault unless ok.
func (f *Faults) Need(ok bool, wrong string, args ...any) {
	if !ok {
		f.errs = append(f.errs, &Error{f.File, f.Entry, fmt.Sprintf(wrong, args...)})
	}
}

// Err returns all faults as one error, or nil.
func (f *Faults) Err() error { return errors.Join(f.errs...) }
