package main

import (
	"context"
	"os"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"countwright": main})
}

// TestScripts runs the program as a person would: each script is a sentence, a
// command, and what comes out.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: *update,
		Setup: func(e *testscript.Env) error {
			e.Setenv("NO_COLOR", "1")
			return nil
		},
	})
}

func TestRunMisused(t *testing.T) {
	empty := t.TempDir()
	t.Chdir(empty)
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"-no-such-flag"}, misused, "no-such-flag"},
		{[]string{"practice"}, misused, `"practice" is not understood`},
		{[]string{"-config", "absent.toml"}, misused, "absent.toml"},
		{[]string{"restore", "one"}, misused, "bot restore BACKUP DB"[:11]},
		{[]string{"restore", "absent.db", "countwright.db"}, broken, "restore:"},
		{[]string{"-help"}, ended, "Usage"},
	} {
		var out, errOut strings.Builder
		code := run(context.Background(), c.args, strings.NewReader(""), &out, &errOut, func(string) string { return "" })
		if code != c.code || !strings.Contains(errOut.String(), c.want) {
			t.Errorf("%q: code %d, says %q; want %d and %q", c.args, code, errOut.String(), c.code, c.want)
		}
	}
	if left, _ := os.ReadDir(empty); len(left) > 0 {
		t.Errorf("something was left behind: %v", left)
	}
}
