package pattern

import (
	"embed"
	"io/fs"
	"slices"
	"strings"
	"sync"
)

//go:embed house/*.toml
var houseFiles embed.FS

// House returns the patterns that ship with Countwright, by name. They are
// shared: do not change them.
func House() []*Pattern { return house() }

// Find returns the house pattern of a name.
func Find(name string) (*Pattern, bool) {
	for _, p := range house() {
		if strings.EqualFold(p.Name, strings.TrimSpace(name)) {
			return p, true
		}
	}
	return nil, false
}

// house reads the embedded files once. The package's tests read the same
// files, so a fault in one never reaches a program.
var house = sync.OnceValue(func() []*Pattern {
	names, err := fs.Glob(houseFiles, "house/*.toml")
	if err != nil {
		panic(err)
	}
	slices.Sort(names)
	var all []*Pattern
	for _, name := range names {
		data, err := houseFiles.ReadFile(name)
		if err != nil {
			panic(err)
		}
		p, err := Read(strings.TrimPrefix(name, "house/"), data)
		if err != nil {
			panic(err)
		}
		all = append(all, p)
	}
	return all
})
