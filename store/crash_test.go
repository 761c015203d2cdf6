package store

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"
)

// A test binary that is started with these variables is a child that works on
// the database at childPath.
const (
	childVar  = "COUNTWRIGHT_STORE_CHILD" // "open", "write", "count", "press" or "sweep"
	childPath = "COUNTWRIGHT_STORE_PATH"
)

func TestMain(m *testing.M) {
	switch os.Getenv(childVar) {
	case "":
		os.Exit(m.Run())
	case "open":
		childOpens(os.Getenv(childPath))
	case "write":
		childWrites(os.Getenv(childPath))
	case "count":
		childCounts(os.Getenv(childPath))
	case "press":
		childPresses(os.Getenv(childPath))
	case "sweep":
		childSweeps(os.Getenv(childPath))
	}
}

func childFails(err error) {
	fmt.Fprintln(os.Stderr, err)
	os.Exit(1)
}

func childOpens(path string) {
	s, err := Open(context.Background(), Options{Path: path})
	if err == nil {
		err = s.Close()
	}
	if err != nil {
		childFails(err)
	}
}

// childWrites adds swatches from several goroutines and prints the name of
// each after it was acknowledged, until it is killed.
func childWrites(path string) {
	s, err := Open(context.Background(), Options{Path: path})
	if err != nil {
		childFails(err)
	}
	fmt.Println("ready")
	for writer := range 8 {
		go func() {
			for i := 0; ; i++ {
				sw := wool
				sw.Name = fmt.Sprintf("%d-%d-%d", os.Getpid(), writer, i)
				// Members are many, so that nobody comes to the limit.
				b := By{Member: fmt.Sprintf("member-%d-%d", os.Getpid(), writer*1000+i/100), Key: sw.Name}
				if _, err := s.AddSwatch(context.Background(), b, sw); err != nil {
					childFails(err)
				}
				fmt.Println(sw.Name) // one write to the pipe, so never half a line between others
			}
		}()
	}
	select {}
}

// Whoever was told that a row is saved finds it after the process was killed.
func TestKilledWriterLosesNothing(t *testing.T) {
	kills := 20
	if testing.Short() {
		kills = 3
	}
	path := place(t)
	acknowledged := map[string]bool{}
	for i := range kills {
		after := time.Duration(rand.IntN(60_000)) * time.Microsecond
		if i == 0 {
			after += 50 * time.Millisecond
		}
		for _, name := range killedAfter(t, path, "write", after) {
			acknowledged[name] = true
		}
		wantAllThere(t, path, acknowledged)
	}
	if len(acknowledged) < kills {
		t.Errorf("only %d rows acknowledged in %d lives: the test shows nothing", len(acknowledged), kills)
	}
	t.Logf("%d kills, %d acknowledged rows", kills, len(acknowledged))
}

// killedAfter starts a child at some work, kills it that long after it is ready
// and returns the lines in which it acknowledged what it wrote.
func killedAfter(t testing.TB, path, work string, after time.Duration) (names []string) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	cmd.Env = append(os.Environ(), childVar+"="+work, childPath+"="+path)
	var complaints strings.Builder
	cmd.Stderr = &complaints
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	if line, err := lines.ReadString('\n'); line != "ready\n" {
		t.Fatalf("child: %q, %v, %s", line, err, complaints.String())
	}
	kill := time.AfterFunc(after, func() { cmd.Process.Kill() })
	for {
		line, err := lines.ReadString('\n')
		if err != nil { // a last line that was cut short counts for nothing
			break
		}
		names = append(names, strings.TrimSuffix(line, "\n"))
	}
	cmd.Wait()
	kill.Stop()
	if complaints.Len() > 0 {
		t.Fatal(complaints.String())
	}
	return names
}

func wantAllThere(t *testing.T, path string, acknowledged map[string]bool) {
	t.Helper()
	s := must[*Store](t)(Open(t.Context(), Options{Path: path}))
	defer s.Close()
	if err := s.Check(t.Context()); err != nil {
		t.Fatal(err)
	}
	rows, err := s.readers.Query(`SELECT name FROM swatches`)
	there, err := collect(rows, err, func(row scanner) (name string, err error) {
		err = row.Scan(&name)
		return name, err
	})
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, name := range there {
		if acknowledged[name] {
			found++
		}
	}
	if found != len(acknowledged) {
		t.Fatalf("%d of %d acknowledged rows are there", found, len(acknowledged))
	}
	var unlogged int
	if err := s.readers.QueryRow(`SELECT count(*) FROM swatches WHERE CAST(id AS TEXT) NOT IN (SELECT subject FROM log)`).Scan(&unlogged); err != nil || unlogged != 0 {
		t.Fatalf("%d rows without their log entry (%v)", unlogged, err)
	}
}
