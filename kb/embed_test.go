package kb

import "testing"

func BenchmarkLoadOneKind(b *testing.B) {
	for b.Loop() {
		if _, err := Load("radial-oring"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLoadAllKinds(b *testing.B) {
	for b.Loop() {
		if _, err := Load(); err != nil {
			b.Fatal(err)
		}
	}
}
