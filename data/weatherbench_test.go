package data

import (
	"bytes"
	"os"
	"testing"
)

func BenchmarkReadEPW(b *testing.B) {
	content, err := os.ReadFile(measured(b, "USA_CO_Denver.Intl.AP.725650_TMY3.epw"))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := ReadWeather("denver.epw", bytes.NewReader(content)); err != nil {
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
		if _, err := ReadWeather("greensboro.csv", bytes.NewReader(content)); err != nil {
			b.Fatal(err)
		}
	}
}
