// Command bot is Countwright: with a token it serves a chat community, without
// one it opens the practice room.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/signal"
	"strings"
	"syscall"

	_ "time/tzdata" // members name time zones on machines that have no zone files

	"countwright/bot/chat"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGINT, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, os.Getenv))
}

// Exit codes: 0 for a clean end, 1 for a failure while running, 2 for a
// command line or configuration that does not fit, or that the chat service
// refuses: starting again does not help then.
const (
	ended   = 0
	broken  = 1
	misused = 2
)

func run(ctx context.Context, args []string, in io.Reader, out, errOut io.Writer, environment func(string) string) int {
	if len(args) > 0 && args[0] == "restore" {
		return restore(ctx, args[1:], errOut)
	}
	if t, ok := taskFor(args); ok {
		return t.start(ctx, args[1:], out, errOut, environment)
	}
	if len(args) > 0 && args[0] == "copy" {
		return copyDatabase(ctx, args[1:], out, errOut)
	}
	flags, o := newFlags(errOut)
	switch err := flags.Parse(args); {
	case errors.Is(err, flag.ErrHelp):
		return ended
	case err != nil:
		return misused
	case flags.NArg() > 0:
		fmt.Fprintf(errOut, "countwright: %q is not understood; see -help\n", flags.Arg(0))
		return misused
	}
	named := false
	flags.Visit(func(f *flag.Flag) { named = named || f.Name == "config" })
	config, err := readConfig(o.config, named, environment)
	if err == nil && !o.room {
		err = keepsSecrets(o.config)
	}
	if err != nil {
		fmt.Fprintln(errOut, "countwright:", err)
		return misused
	}
	if config.Token == "" || o.room {
		err = practise(ctx, o, in, out)
	} else {
		err = serve(ctx, config, errOut)
	}
	if err != nil && !errors.Is(err, context.Canceled) {
		fmt.Fprintln(errOut, "countwright:", err)
		if chat.NeedsMending(err) {
			return misused
		}
		return broken
	}
	return ended
}

// options are the command line's.
type options struct {
	config   string
	room     bool
	json     bool
	database string
	pictures string
}

func newFlags(out io.Writer) (*flag.FlagSet, *options) {
	var o options
	flags := flag.NewFlagSet("countwright", flag.ContinueOnError)
	flags.SetOutput(out)
	flags.StringVar(&o.config, "config", "config.toml", "configuration `file`")
	flags.BoolVar(&o.room, "room", false, "open the practice room although a token is configured")
	flags.BoolVar(&o.json, "json", false, "practice room: print one JSON object a reply")
	flags.StringVar(&o.database, "db", "", "practice room: keep the database in this `file` (default: a new one with the demo community)")
	flags.StringVar(&o.pictures, "pictures", "pictures", "practice room: `folder` for pictures and files")
	flags.Usage = func() {
		fmt.Fprintln(out, "Usage: bot [flags]                    serve a community, or open the practice room when no token is configured")
		for _, t := range tasks {
			fmt.Fprintf(out, "       bot %-26s %s\n", strings.TrimSpace(t.name+" [flags] "+t.arguments), t.short)
		}
		fmt.Fprintln(out, "       bot restore BACKUP DB          put a backup in the database's place, while the bot is stopped")
		fmt.Fprintln(out, "       bot copy FROM TO               copy a database into an empty one: a file or a postgres:// address each")
		flags.PrintDefaults()
	}
	return flags, &o
}

func serve(ctx context.Context, config Config, errOut io.Writer) error {
	level, err := config.Log.level()
	if err != nil {
		return err
	}
	var handler slog.Handler = slog.NewTextHandler(errOut, &slog.HandlerOptions{Level: level})
	if config.Log.JSON {
		handler = slog.NewJSONHandler(errOut, &slog.HandlerOptions{Level: level})
	}
	app := &App{Config: config, Log: slog.New(handler)}
	defer app.Close()
	if err := app.Open(ctx); err != nil {
		return err
	}
	if err := app.Run(ctx); err != nil {
		return err
	}
	return app.Close()
}
