package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"time"

	"countwright/store"
)

// task is something that is done once, in place of serving: "bot check".
type task struct {
	name, arguments, short string
	run                    func(ctx context.Context, config Config, path string, args []string, out, errOut io.Writer) int
}

var tasks = []task{
	{"check", "", "look whether all is well: settings, database, clock, permissions", func(ctx context.Context, c Config, path string, _ []string, out, _ io.Writer) int {
		return examine(ctx, c, path, nil, out)
	}},
	{"backup", "", "copy the database into backup.folder now, while the bot runs or not", backupNow},
	{"export", "[MEMBER]", "print as JSON what is kept about one member, by her id, or the whole database", export},
}

// taskFor finds the task that a command line names.
func taskFor(args []string) (task, bool) {
	for _, t := range tasks {
		if len(args) > 0 && t.name == args[0] {
			return t, true
		}
	}
	return task{}, false
}

// start reads a task's flags and the configuration, and does it.
func (t task) start(ctx context.Context, args []string, out, errOut io.Writer, environment func(string) string) int {
	flags := flag.NewFlagSet("countwright "+t.name, flag.ContinueOnError)
	flags.SetOutput(errOut)
	path := flags.String("config", "config.toml", "configuration `file`")
	flags.Usage = func() {
		fmt.Fprintf(errOut, "Usage: bot %s [flags] %s\n%s\n", t.name, t.arguments, t.short)
		flags.PrintDefaults()
	}
	switch err := flags.Parse(args); {
	case errors.Is(err, flag.ErrHelp):
		return ended
	case err != nil:
		return misused
	case flags.NArg() > 0 && t.arguments == "" || flags.NArg() > 1:
		fmt.Fprintf(errOut, "countwright: %s: %q is not understood\n", t.name, flags.Arg(flags.NArg()-1))
		return misused
	}
	named := false
	flags.Visit(func(f *flag.Flag) { named = named || f.Name == "config" })
	config, err := readConfig(*path, named, environment)
	if err != nil {
		fmt.Fprintln(errOut, "countwright:", err)
		return misused
	}
	return t.run(ctx, config, *path, flags.Args(), out, errOut)
}

// opened opens the database for a task. It must be there: a task makes none.
func opened(ctx context.Context, c Config, errOut io.Writer) (*store.Store, bool) {
	if err := present(c.Database); err != nil {
		fmt.Fprintln(errOut, "countwright:", err)
		return nil, false
	}
	s, err := store.Open(ctx, store.Options{Path: c.Database, Backups: store.Backups{Folder: c.Backup.Folder, Newest: c.Backup.Keep}})
	if err != nil {
		fmt.Fprintln(errOut, "countwright:", err)
		return nil, false
	}
	return s, true
}

func backupNow(ctx context.Context, c Config, _ string, _ []string, _, errOut io.Writer) int {
	if c.Backup.Folder == "" {
		fmt.Fprintln(errOut, "countwright: backup: name a backup.folder in the configuration")
		return misused
	}
	s, ok := opened(ctx, c, errOut)
	if !ok {
		return broken
	}
	defer s.Close()
	start := time.Now()
	made, err := s.Backup(ctx)
	if err != nil {
		fmt.Fprintln(errOut, "countwright: backup:", err)
		return broken
	}
	fmt.Fprintf(errOut, "countwright: %s made and checked in %s\n", made.Path, time.Since(start).Round(time.Millisecond))
	return ended
}

// export prints one JSON object for a member, or one a row of the database.
func export(ctx context.Context, c Config, _ string, args []string, out, errOut io.Writer) int {
	s, ok := opened(ctx, c, errOut)
	if !ok {
		return broken
	}
	defer s.Close()
	var err error
	if len(args) == 1 {
		if !snowflake.MatchString(args[0]) {
			fmt.Fprintf(errOut, "countwright: export: %q is not a member's id; it is a number of 15 to 20 digits\n", args[0])
			return misused
		}
		var e store.Export
		if e, err = s.Export(ctx, args[0]); err == nil {
			err = json.NewEncoder(out).Encode(e)
		}
	} else {
		err = s.Dump(ctx, out)
	}
	if err != nil {
		fmt.Fprintln(errOut, "countwright: export:", err)
		return broken
	}
	return ended
}
