package store

import (
	"context"
	"fmt"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// childPresses is a program that counts rows of its own members' projects for
// as long as it is asked to, many at once, and prints how many it counted.
func childPresses(spec string) {
	seconds, path, _ := strings.Cut(spec, " ")
	lasts, err := strconv.Atoi(seconds)
	if err != nil {
		childFails(err)
	}
	s, err := Open(context.Background(), Options{Path: path})
	if err != nil {
		childFails(err)
	}
	const members = 32
	var projects [members]Project
	for m := range members {
		member := fmt.Sprint("member-", os.Getpid(), "-", m)
		if projects[m], err = s.StartProject(context.Background(), by(member), "Fog", []int{900_000}, shawl); err != nil {
			childFails(err)
		}
	}
	fmt.Println("ready")
	end := time.Now().Add(time.Duration(lasts) * time.Second)
	var counts [members]int
	var all sync.WaitGroup
	for m := range members {
		all.Go(func() {
			for time.Now().Before(end) {
				key := fmt.Sprint(m, "-", counts[m])
				if _, _, err := s.MoveRows(context.Background(), By{projects[m].Member, key}, projects[m].ID, Step{By: 1}); err != nil {
					childFails(err)
				}
				counts[m]++
			}
		})
	}
	all.Wait()
	sum := 0
	for _, n := range counts {
		sum += n
	}
	fmt.Println(sum)
	os.Exit(0)
}

// How many rows a second one, two and three programs count on one server, each
// on one core at most.
func BenchmarkReplicas(b *testing.B) {
	if server == "" {
		b.Skip("this takes a database server")
	}
	const seconds = 4
	for _, replicas := range []int{1, 2, 3} {
		b.Run(fmt.Sprint(replicas), func(b *testing.B) {
			for b.Loop() {
				path := place(b)
				must[*Store](b)(Open(b.Context(), Options{Path: path})).Close()
				var all sync.WaitGroup
				sums := make([]int, replicas)
				for r := range replicas {
					all.Go(func() {
						lines := killedAfter(b, fmt.Sprint(seconds, " ", path), "press", time.Minute)
						sums[r], _ = strconv.Atoi(lines[len(lines)-1])
					})
				}
				all.Wait()
				total := 0
				for _, n := range sums {
					total += n
				}
				b.ReportMetric(float64(total)/seconds, "rows/s")
			}
		})
	}
}
