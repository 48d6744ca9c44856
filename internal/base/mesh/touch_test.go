package mesh

import (
	"context"
	"testing"

	"mouldwright/internal/base/geom"
)

func TestSelfTouchingFindsEachKindOfContact(t *testing.T) {
	base := [3][3]float32{{0, 0, 0}, {4, 0, 0}, {0, 4, 0}}
	cases := []struct {
		name  string
		other [3][3]float32
		want  bool
	}{
		{"far above", [3][3]float32{{0, 0, 1}, {4, 0, 1}, {0, 4, 1}}, false},
		{"crossing", [3][3]float32{{1, 1, -1}, {1, 1, 1}, {9, 9, 1}}, true},
		{"corner on face", [3][3]float32{{1, 1, 0}, {1, 2, 5}, {2, 1, 5}}, true},
		{"corner on edge", [3][3]float32{{2, 0, 0}, {2, -1, 5}, {3, -1, 5}}, true},
		{"edge on edge", [3][3]float32{{1, 0, 0}, {3, 0, 0}, {2, -1, 5}}, true},
		{"inside, same plane", [3][3]float32{{1, 1, 0}, {1.5, 1, 0}, {1, 1.5, 0}}, true},
		{"beside, same plane", [3][3]float32{{3, 3, 0}, {4, 3, 0}, {3, 4, 0}}, false},
		{"crossing, same plane", [3][3]float32{{-1, 1, 0}, {5, 1, 0}, {5, 1.5, 0}}, true},
		{"shared corner only", [3][3]float32{{0, 0, 0}, {-1, 0, 0}, {0, -1, 0}}, false},
		{"shared corner, through the face", [3][3]float32{{0, 0, 0}, {1, 1, 1}, {1, 1, -1}}, true},
		{"shared corner, side along a side", [3][3]float32{{0, 0, 0}, {2, 0, 0}, {2, -1, 2}}, true},
		{"shared edge, opened", [3][3]float32{{4, 0, 0}, {0, 0, 0}, {0, -4, 0}}, false},
		{"shared edge, at an angle", [3][3]float32{{4, 0, 0}, {0, 0, 0}, {0, 1, 4}}, false},
		{"shared edge, folded back", [3][3]float32{{4, 0, 0}, {0, 0, 0}, {1, 1, 0}}, true},
		{"the same twice", [3][3]float32{{4, 0, 0}, {0, 0, 0}, {0, 4, 0}}, true},
	}
	for _, c := range cases {
		m := FromTriangles([][3][3]float32{base, c.other})
		got, err := m.SelfTouching(context.Background())
		if err != nil || (len(got) > 0) != c.want {
			t.Errorf("%s: %v, %v", c.name, got, err)
		}
	}
}

func TestSelfTouchingOfTwoPrisms(t *testing.T) {
	a, err := Prism(geom.Outline{rectangle(0, 0, 2, 2)}, 0, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		x, y, z float64
		want    bool
	}{{3, 0, 0, false}, {1, 1, 0.5, true}, {2, 0.5, 0.25, true}} {
		m := &Mesh{}
		m.Append(a)
		b := &Mesh{}
		b.Append(a)
		b.Move(c.x, c.y, c.z)
		m.Append(b)
		got, err := m.SelfTouching(context.Background())
		if err != nil || (len(got) > 0) != c.want {
			t.Errorf("moved by %v: %d pairs, %v", c, len(got), err)
		}
	}
}
