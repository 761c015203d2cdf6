package words

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"sync"

	"github.com/pelletier/go-toml/v2"
	"golang.org/x/text/feature/plural"
	tags "golang.org/x/text/language"
)

//go:embed texts names.toml dates.toml
var files embed.FS

// language is all that is known of one language.
type language struct {
	Language
	texts map[Key]entry
	names map[string]string // of commands and options, by their English names
	dates dates
	comma bool // before decimals
}

// entry is the translation of one text: the same for all counts, or a form for
// each.
type entry struct {
	text  string
	forms map[plural.Form]string // nil: text serves for all
}

var formNames = map[string]plural.Form{"one": plural.One, "few": plural.Few, "many": plural.Many, "other": plural.Other}

// form is the translation for a count. Only integers are counted.
func (l *language) form(e entry, n int) string {
	if e.forms == nil {
		return e.text
	}
	if text, ok := e.forms[plural.Cardinal.MatchPlural(l.Tag, n, 0, 0, 0, 0)]; ok {
		return text
	}
	return e.forms[plural.Other]
}

// find returns the format that says a key, for a count where it is counted.
func (p Printer) find(key Key, n int, counted bool) string {
	if p.language == nil {
		return string(key)
	}
	e, ok := p.language.texts[key]
	switch {
	case !ok:
		return string(key)
	case !counted && e.forms != nil:
		return e.forms[plural.Other]
	}
	return p.language.form(e, n)
}

// Has reports whether the printer's language has a translation of a text.
// English has all.
func (p Printer) Has(key Key) bool {
	if p.language == nil {
		return true
	}
	_, ok := p.language.texts[key]
	return ok
}

// catalogs reads the embedded catalogs once. An entry at fault is left out, and
// its English said; the package's tests name it.
var catalogs = sync.OnceValue(func() map[string]*language {
	all, _ := readCatalogs(files)
	return all
})

// readCatalogs reads what can be read of all catalogs; the error joins what
// can't.
func readCatalogs(from fs.FS) (map[string]*language, error) {
	all := map[string]*language{}
	for _, l := range Languages[1:] {
		all[l.Code] = &language{Language: l, texts: map[Key]entry{}, names: map[string]string{}, comma: comma(l.Tag)}
	}
	paths, err := fs.Glob(from, "texts/*.toml")
	faults := []error{err}
	for _, path := range paths {
		if err := readTexts(from, path, all); err != nil {
			faults = append(faults, fmt.Errorf("read %s: %w", path, err))
		}
	}
	var names map[string]map[string]string
	var written map[string]dates
	faults = append(faults, decode(from, "names.toml", &names), decode(from, "dates.toml", &written))
	for _, l := range all {
		base := baseOf(l.Tag)
		l.dates = written[base]
		for name, in := range names {
			if in[base] != "" {
				l.names[name] = in[base]
			}
		}
	}
	return all, errors.Join(faults...)
}

func decode(from fs.FS, path string, into any) error {
	body, err := fs.ReadFile(from, path)
	if err != nil {
		return err
	}
	if err := toml.Unmarshal(body, into); err != nil {
		return fmt.Errorf("read %s: %w", path, err)
	}
	return nil
}

// readTexts adds a file's entries to the languages that they are in.
func readTexts(from fs.FS, path string, all map[string]*language) error {
	var texts map[Key]map[string]any
	if err := decode(from, path, &texts); err != nil {
		return err
	}
	var faults []error
	for key, in := range texts {
		for base, value := range in {
			if err := addText(all, key, base, value); err != nil {
				faults = append(faults, fmt.Errorf("%q in %s: %w", key, base, err))
			}
		}
	}
	return errors.Join(faults...)
}

func addText(all map[string]*language, key Key, base string, value any) error {
	e, err := entryOf(value)
	if err != nil {
		return err
	}
	known := false
	for _, l := range all {
		if baseOf(l.Tag) != base {
			continue
		}
		if _, twice := l.texts[key]; twice {
			return errors.New("it is there twice")
		}
		l.texts[key], known = e, true
	}
	if !known {
		return errors.New("there is no such language")
	}
	return nil
}

func entryOf(value any) (entry, error) {
	switch value := value.(type) {
	case string:
		return entry{text: value}, nil
	case map[string]any:
		e := entry{forms: map[plural.Form]string{}}
		for name, text := range value {
			form, known := formNames[name]
			said, ok := text.(string)
			if !known || !ok {
				return e, fmt.Errorf("form %q: there are one, few, many, other, each with a text", name)
			}
			e.forms[form] = said
		}
		if e.forms[plural.Other] == "" {
			return e, fmt.Errorf("it lacks the form other")
		}
		return e, nil
	}
	return entry{}, fmt.Errorf("%v is neither a text nor forms of one", value)
}

func baseOf(t tags.Tag) string {
	base, _ := t.Base()
	return base.String()
}
