package store

import (
	"fmt"
	"path/filepath"
	"sync/atomic"
	"testing"
)

// Durable writes, one after the other: each waits for the disk by itself.
func BenchmarkWriteAlone(b *testing.B) {
	s, _ := open(b)
	for i := 0; b.Loop(); i++ {
		must[Swatch](b)(s.AddSwatch(b.Context(), by(fmt.Sprint("member", i/100)), cottonUnnamed()))
	}
}

// Durable writes of 64 callers at once, who share transactions.
func BenchmarkWriteTogether(b *testing.B) {
	s, _ := open(b)
	var n atomic.Int64
	b.SetParallelism(32) // × the processors
	b.RunParallel(func(pb *testing.PB) {
		for pb.Next() {
			if _, err := s.SaveSettings(b.Context(), by(fmt.Sprint("member", n.Add(1))), Settings{Units: "cm"}); err != nil {
				b.Error(err)
			}
		}
	})
}

// crowded holds many members with a few swatches each.
func crowded(b *testing.B) *Store {
	b.Helper()
	s := openWith(b, Options{})
	if err := s.write(b.Context(), "fill", func(t tx) error {
		for m := range 20_000 {
			member := fmt.Sprint("member", m)
			for range 5 {
				if _, err := addSwatch(t, member, cottonUnnamed()); err != nil {
					return err
				}
			}
		}
		return nil
	}); err != nil {
		b.Fatal(err)
	}
	return s
}

func BenchmarkRead(b *testing.B) {
	s := crowded(b)
	member := func(i int) string { return fmt.Sprint("member", i*7919%20_000) }
	b.Run("Settings", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			must[Settings](b)(s.Settings(b.Context(), member(i)))
		}
	})
	b.Run("DefaultSwatch", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			must[Swatch](b)(s.DefaultSwatch(b.Context(), member(i)))
		}
	})
	b.Run("Swatches", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			must[[]Swatch](b)(s.Swatches(b.Context(), member(i)))
		}
	})
}

func BenchmarkOpen(b *testing.B) {
	b.Run("New", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			openAndClose(b, filepath.Join(b.TempDir(), fmt.Sprint(i, ".db")))
		}
	})
	b.Run("Private", func(b *testing.B) {
		for b.Loop() {
			openAndClose(b, "")
		}
	})
	b.Run("Again", func(b *testing.B) {
		path := filepath.Join(b.TempDir(), "test.db")
		makeDatabase(b, path)
		for b.Loop() {
			openAndClose(b, path)
		}
	})
}

func openAndClose(b *testing.B, path string) {
	b.Helper()
	s := must[*Store](b)(Open(b.Context(), Options{Path: path}))
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
}

func BenchmarkBackup(b *testing.B) {
	s := crowded(b)
	s.backups.Folder = b.TempDir()
	for b.Loop() {
		backup := must[Backup](b)(s.Backup(b.Context()))
		b.SetBytes(backup.Bytes)
	}
}
