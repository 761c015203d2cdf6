package commands

import (
	"context"
	"slices"
	"strings"
)

// rightHat is an invented pattern whose check holds.
const rightHat = `Spring hat
Gauge: 16 sts and 18 rnds = 10 cm in sc

Rnd 1: 8 sc in magic ring. (8)
Rnd 2: 2 sc in each st around. (16)
Rnd 3: *Sc in next st, 2 sc in next st; rep from * around. (24)
Rnd 4: *Sc in next 2 sts, 2 sc in next st; rep from * around. (32)
Rnd 5: *Sc in next 3 sts, 2 sc in next st; rep from * around. (40)
Rnd 6: *Sc in next 4 sts, 2 sc in next st; rep from * around. (48)
Rnds 7–20: Sc in each st around. (48)
Fasten off.
`

// memoryPatterns keeps patterns for tests, as a server would.
type memoryPatterns struct{ kept []SavedPattern }

func (m *memoryPatterns) Add(_ context.Context, _, _ string, p SavedPattern) error {
	for i, o := range m.kept {
		if o.Server == p.Server && strings.EqualFold(o.Name, p.Name) && o.Version == p.Version {
			if !o.Draft {
				return ErrKept
			}
			m.kept[i] = p
			return nil
		}
	}
	m.kept = append(m.kept, p)
	return nil
}

func (m *memoryPatterns) Find(_ context.Context, server, name, version string) (SavedPattern, bool, error) {
	var best *SavedPattern
	for i := range m.kept {
		p := &m.kept[i]
		if p.Server == server && strings.EqualFold(p.Name, name) && (version == "" || p.Version == version) && (best == nil || best.Draft || !p.Draft) {
			best = p
		}
	}
	if best == nil {
		return SavedPattern{}, false, nil
	}
	return *best, true, nil
}

func (m *memoryPatterns) List(ctx context.Context, server, name string) ([]SavedPattern, error) {
	var list []SavedPattern
	for _, p := range m.kept {
		if p.Server != server || name != "" && !strings.EqualFold(p.Name, name) {
			continue
		}
		if best, _, _ := m.Find(ctx, server, p.Name, ""); name == "" && best.Version != p.Version {
			continue
		}
		p.Text = ""
		list = append(list, p)
	}
	slices.SortStableFunc(list, func(a, b SavedPattern) int { return strings.Compare(a.Name, b.Name) })
	if name != "" {
		slices.Reverse(list)
	}
	return list, nil
}

func (m *memoryPatterns) Remove(_ context.Context, _, _, server, name, version string) (int, error) {
	before := len(m.kept)
	m.kept = slices.DeleteFunc(m.kept, func(p SavedPattern) bool {
		return p.Server == server && strings.EqualFold(p.Name, name) && (version == "" || p.Version == version)
	})
	return before - len(m.kept), nil
}
