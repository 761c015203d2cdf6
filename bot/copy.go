package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"text/tabwriter"

	"countwright/store"
)

// copyDatabase copies a database into an empty one, as from a file to a server
// or back: "bot copy FROM TO".
func copyDatabase(ctx context.Context, args []string, out, errOut io.Writer) int {
	if len(args) != 2 {
		fmt.Fprintln(errOut, "countwright: say what is copied where: bot copy countwright.db postgres://countwright@db.example/countwright")
		return misused
	}
	if err := copyBetween(ctx, args[0], args[1], out); err != nil {
		fmt.Fprintln(errOut, "countwright:", err)
		return broken
	}
	fmt.Fprintf(out, "%s now holds what %s holds; set database to it, and start the bot.\n", store.Place(args[1]), store.Place(args[0]))
	return ended
}

func copyBetween(ctx context.Context, from, to string, out io.Writer) error {
	if err := present(from); err != nil {
		return err
	}
	source, err := store.Open(ctx, store.Options{Path: from})
	if err != nil {
		return err
	}
	defer source.Close()
	target, err := store.Open(ctx, store.Options{Path: to})
	if err != nil {
		return err
	}
	defer target.Close()
	done, err := store.Copy(ctx, source, target)
	if err != nil {
		return err
	}
	columns := tabwriter.NewWriter(out, 0, 0, 2, ' ', tabwriter.AlignRight)
	for _, c := range done {
		fmt.Fprintf(columns, "%d\t %s\n", c.Rows, c.Table)
	}
	if err := columns.Flush(); err != nil {
		return err
	}
	return target.Close()
}

// present refuses a file that is not there: opening would make an empty one.
func present(place string) error {
	if store.Networked(place) {
		return nil
	}
	_, err := os.Stat(place)
	return err
}
