package entry

import (
	"errors"
	"strings"
	"testing"
	"testing/fstest"
)

type yarns struct {
	Yarn []struct {
		ID    string
		Grams int
	}
}

func TestEachReportsFilesAndLines(t *testing.T) {
	folder := fstest.MapFS{
		"good.toml":   {Data: []byte("[[yarn]]\nid = \"moss\"\ngrams = 50\n")},
		"typo.toml":   {Data: []byte("[[yarn]]\nid = \"moss\"\ngram = 50\n")},
		"wrong.toml":  {Data: []byte("[[yarn]]\nid = \"moss\"\ngrams = \"fifty\"\n")},
		"broken.toml": {Data: []byte("[[yarn]]\nid = \"moss\n")},
	}
	var seen []string
	err := Each(folder, []string{"good.toml", "typo.toml", "wrong.toml", "broken.toml", "absent.toml"}, func(file string, y yarns) {
		seen = append(seen, file+":"+y.Yarn[0].ID)
	})
	if len(seen) != 1 || seen[0] != "good.toml:moss" {
		t.Errorf("read %q, want the good file alone", seen)
	}
	for _, want := range []string{
		"typo.toml: a key that no entry has", "3| gram = 50",
		"wrong.toml: can't be read", "3| grams = \"fifty\"",
		"broken.toml: can't be read", "absent.toml",
	} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("the error lacks %q:\n%v", want, err)
		}
	}
	if strings.Contains(err.Error(), "good.toml") {
		t.Errorf("the error blames the good file:\n%v", err)
	}
}

func TestFaultsNameTheEntry(t *testing.T) {
	f := Faults{File: "yarn.toml", Entry: "moss"}
	f.Need(true, "never said")
	if f.Err() != nil {
		t.Fatalf("a fault without a reason: %v", f.Err())
	}
	f.Need(false, "grams %d is less than 1", -3)
	var e *Error
	if !errors.As(f.Err(), &e) || e.Entry != "moss" || e.Error() != `yarn.toml: entry "moss": grams -3 is less than 1` {
		t.Errorf("got %v", f.Err())
	}
}
