package strokes_test

import (
	"testing"

	"marram.example/projections/store/storetest"
)

func TestMain(m *testing.M) { storetest.Main(m) }
