package mesh

import (
	"context"
	"testing"
)

func BenchmarkReferencePiece(b *testing.B) {
	f, o := reference(b)
	var s *Sheet
	for b.Loop() {
		var err error
		if s, err = ReliefEdge(context.Background(), f, o, ToleranceMM, 0); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(s.T)), "triangles")
}

func BenchmarkField1200(b *testing.B) {
	f, o := waves(1200)
	var s *Sheet
	for b.Loop() {
		var err error
		if s, err = Relief(context.Background(), f, o, ToleranceMM); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(s.T)), "triangles")
}

func TestDeviationQuick(t *testing.T) {
	f, o := reference(t)
	s, err := ReliefEdge(context.Background(), f, o, ToleranceMM, 0)
	if err != nil {
		t.Fatal(err)
	}
	d, err := Deviate(context.Background(), s, f)
	t.Log(len(s.T), d, err)
	f, o = waves(1200)
	s, err = Relief(context.Background(), f, o, ToleranceMM)
	if err != nil {
		t.Fatal(err)
	}
	d, err = Deviate(context.Background(), s, f)
	t.Log(len(s.T), d, err)
}
