package render

import (
	"math"
	"reflect"

	"windlane/brief"
)

// most is the largest number that is taken for one: no lake of ours is 50 km
// from its origin, no cast lasts a day. [any unit of the brief]
const most = 5e4

// tame copies a brief with every number beyond most made unknown, so that no
// picture has to ask again.
func tame(b brief.Brief) brief.Brief {
	out := reflect.New(reflect.TypeOf(b)).Elem()
	copyTame(out, reflect.ValueOf(b))
	return out.Interface().(brief.Brief)
}

func copyTame(to, from reflect.Value) {
	switch from.Kind() {
	case reflect.Float64:
		v := from.Float()
		if math.Abs(v) > most {
			v = math.NaN()
		}
		to.SetFloat(v)
	case reflect.Struct:
		to.Set(from) // times and whatever has no numbers of ours
		if from.Type().PkgPath() != reflect.TypeFor[brief.Brief]().PkgPath() {
			return
		}
		for i := range from.NumField() {
			copyTame(to.Field(i), from.Field(i))
		}
	case reflect.Slice:
		if from.IsNil() {
			return
		}
		to.Set(reflect.MakeSlice(from.Type(), from.Len(), from.Len()))
		for i := range from.Len() {
			copyTame(to.Index(i), from.Index(i))
		}
	case reflect.Array:
		for i := range from.Len() {
			copyTame(to.Index(i), from.Index(i))
		}
	default:
		to.Set(from)
	}
}
