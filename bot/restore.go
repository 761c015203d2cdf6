package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"countwright/store"
)

// restore puts a backup in the place of the database: "bot restore BACKUP DB".
func restore(ctx context.Context, args []string, errOut io.Writer) int {
	if len(args) != 2 {
		fmt.Fprintln(errOut, "countwright: say which backup goes where: bot restore backups/countwright-20260301-031000.db countwright.db")
		return misused
	}
	kept, err := store.Restore(ctx, args[0], args[1], time.Now())
	if err != nil {
		fmt.Fprintln(errOut, "countwright: restore:", err)
		return broken
	}
	fmt.Fprintf(errOut, "countwright: %s now holds what %s held\n", args[1], args[0])
	if kept != "" {
		fmt.Fprintf(errOut, "countwright: what was there before is kept as %s\n", kept)
	}
	fmt.Fprintln(errOut, "countwright: members who were erased since that backup have to be erased again")
	return ended
}
