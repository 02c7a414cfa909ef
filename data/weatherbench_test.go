package data

import (
	"os"
	"testing"
)

func BenchmarkReadEPW(b *testing.B) {
	content, err := os.ReadFile(measured(b, "USA_CO_Denver.Intl.AP.725650_TMY3.epw"))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := ReadWeatherBytes("denver.epw", content); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadTMY3(b *testing.B) {
	content, err := os.ReadFile(measured(b, "723170TYA.CSV"))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := ReadWeatherBytes("greensboro.csv", content); err != nil {
			b.Fatal(err)
		}
	}
}
