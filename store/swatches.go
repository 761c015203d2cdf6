package store

import (
	"context"
	"fmt"
	"strconv"
	"time"
)

// MaxSwatches is how many swatches one member may keep.
const MaxSwatches = 500

// A Swatch is a measured piece of crochet. 0 and "" mean "not said" in the
// fields that say so.
type Swatch struct {
	ID       int64     `json:"id"`
	Member   string    `json:"member"`
	Name     string    `json:"name"`      // unique for its member whatever its case; may be ""
	Stitches float64   `json:"stitches"`  // counted over Width
	Rows     float64   `json:"rows"`      // counted over Height
	Width    int64     `json:"width_nm"`  // nanometres
	Height   int64     `json:"height_nm"` // nanometres
	Hook     float64   `json:"hook_mm"`   // millimetres; 0 = not said
	Yarn     string    `json:"yarn"`      // may be ""
	Stitch   string    `json:"stitch"`    // may be ""
	Washed   bool      `json:"washed"`
	Grams    float64   `json:"grams"`  // weight of the swatch; 0 = not said
	Metres   float64   `json:"metres"` // yarn in the swatch; 0 = not said
	Note     string    `json:"note"`   // may be ""
	MadeAt   time.Time `json:"made_at"`
}

// AddSwatch keeps a new swatch of by.Member and returns it with its id. A zero
// MadeAt becomes now. A name that another swatch of theirs has is
// [ErrConflict], a number out of range [ErrInvalid], one more than
// [MaxSwatches] [ErrLimit].
func (s *Store) AddSwatch(ctx context.Context, by By, sw Swatch) (Swatch, error) {
	return writeOnce(ctx, s, by, "add swatch", func(t tx) (change[Swatch], error) {
		return addSwatch(t, by.Member, sw)
	})
}

// UpdateSwatch replaces what is said of the swatch sw.ID of by.Member, such as
// a measurement after washing. A zero MadeAt becomes now, which makes it their
// newest. Errors as for AddSwatch, and [ErrNotFound].
func (s *Store) UpdateSwatch(ctx context.Context, by By, sw Swatch) (Swatch, error) {
	return writeOnce(ctx, s, by, "update swatch", func(t tx) (change[Swatch], error) {
		return updateSwatch(t, by.Member, sw)
	})
}

// DeleteSwatch removes a swatch of by.Member and returns what it was, or
// [ErrNotFound].
func (s *Store) DeleteSwatch(ctx context.Context, by By, id int64) (Swatch, error) {
	return writeOnce(ctx, s, by, "delete swatch", func(t tx) (change[Swatch], error) {
		return deleteSwatch(t, by.Member, id)
	})
}

// Swatch returns one swatch of a member, or [ErrNotFound].
func (s *Store) Swatch(ctx context.Context, member string, id int64) (Swatch, error) {
	return readOne(ctx, s, "read swatch", func(t tx) (Swatch, error) {
		return swatch(t, member, id)
	})
}

// SwatchNamed returns the swatch that a member gave this name, whatever its
// case and spacing, or [ErrNotFound].
func (s *Store) SwatchNamed(ctx context.Context, member, name string) (Swatch, error) {
	return readOne(ctx, s, "read swatch", func(t tx) (Swatch, error) {
		sw, err := scanSwatch(t.QueryRow(`SELECT `+swatchColumns+` FROM swatches
			WHERE member = ?1 AND name_key = ?2 AND name_key <> ''`, member, nameKey(name)))
		return found(sw, err, "swatch %q", name)
	})
}

// DefaultSwatch returns a member's newest swatch, which stands in where none
// is named, or [ErrNotFound].
func (s *Store) DefaultSwatch(ctx context.Context, member string) (Swatch, error) {
	return readOne(ctx, s, "read newest swatch", func(t tx) (Swatch, error) {
		sw, err := scanSwatch(t.QueryRow(`SELECT `+swatchColumns+` FROM swatches
			WHERE member = ?1 ORDER BY made_at DESC, id DESC LIMIT 1`, member))
		return found(sw, err, "swatch of member %q", member)
	})
}

// Swatches lists a member's swatches, newest first.
func (s *Store) Swatches(ctx context.Context, member string) ([]Swatch, error) {
	return readOne(ctx, s, "list swatches", func(t tx) ([]Swatch, error) {
		return swatches(t, member)
	})
}

const swatchColumns = `id, member, name, stitches, rows, width, height, hook, yarn, stitch, washed, grams, metres, note, made_at`

func swatch(t tx, member string, id int64) (Swatch, error) {
	sw, err := scanSwatch(t.QueryRow(`SELECT `+swatchColumns+` FROM swatches WHERE member = ?1 AND id = ?2`, member, id))
	return found(sw, err, "swatch %d", id)
}

func swatches(t tx, member string) ([]Swatch, error) {
	rows, err := t.Query(`SELECT `+swatchColumns+` FROM swatches
		WHERE member = ?1 ORDER BY made_at DESC, id DESC`, member)
	return collect(rows, err, scanSwatch)
}

func scanSwatch(row scanner) (sw Swatch, err error) {
	var made int64
	err = row.Scan(&sw.ID, &sw.Member, &sw.Name, &sw.Stitches, &sw.Rows, &sw.Width, &sw.Height, &sw.Hook,
		&sw.Yarn, &sw.Stitch, &sw.Washed, &sw.Grams, &sw.Metres, &sw.Note, &made)
	sw.MadeAt = moment(made)
	return sw, err
}

func addSwatch(t tx, member string, sw Swatch) (change[Swatch], error) {
	if err := addMember(t, member); err != nil {
		return change[Swatch]{}, err
	}
	err := atMost(MaxSwatches, "swatches", t.QueryRow(`SELECT count(*) FROM swatches WHERE member = ?1`, member))
	if err != nil {
		return change[Swatch]{}, err
	}
	after, err := scanSwatch(t.QueryRow(`INSERT INTO swatches (member, name, name_key, stitches, rows, width, height, hook,
			yarn, stitch, washed, grams, metres, note, made_at)
		VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15)
		RETURNING `+swatchColumns, swatchValues(t, member, sw)...))
	return swatchChange(sw, nil, &after, err)
}

func updateSwatch(t tx, member string, sw Swatch) (change[Swatch], error) {
	before, err := swatch(t, member, sw.ID)
	if err != nil {
		return change[Swatch]{}, err
	}
	after, err := scanSwatch(t.QueryRow(`UPDATE swatches SET name = ?2, name_key = ?3, stitches = ?4, rows = ?5,
			width = ?6, height = ?7, hook = ?8, yarn = ?9, stitch = ?10, washed = ?11, grams = ?12, metres = ?13,
			note = ?14, made_at = ?15
		WHERE member = ?1 AND id = ?16
		RETURNING `+swatchColumns, append(swatchValues(t, member, sw), sw.ID)...))
	return swatchChange(sw, &before, &after, err)
}

// swatchValues are the columns after the id, in the order of the table.
func swatchValues(t tx, member string, sw Swatch) []any {
	made := sw.MadeAt
	if made.IsZero() {
		made = t.now
	}
	return []any{member, sw.Name, nameKey(sw.Name), sw.Stitches, sw.Rows, sw.Width, sw.Height, sw.Hook,
		sw.Yarn, sw.Stitch, sw.Washed, sw.Grams, sw.Metres, sw.Note, made.UnixMilli()}
}

func swatchChange(asked Swatch, before, after *Swatch, err error) (change[Swatch], error) {
	if kindOf(err) == ErrConflict {
		err = fmt.Errorf("the name %q: %w", asked.Name, ErrConflict)
	}
	return change[Swatch]{subject: strconv.FormatInt(after.ID, 10), before: before, after: after}, err
}

func deleteSwatch(t tx, member string, id int64) (change[Swatch], error) {
	before, err := scanSwatch(t.QueryRow(`DELETE FROM swatches WHERE member = ?1 AND id = ?2
		RETURNING `+swatchColumns, member, id))
	before, err = found(before, err, "swatch %d", id)
	return change[Swatch]{subject: strconv.FormatInt(id, 10), before: &before}, err
}
