package model
import ("testing";"math/rand/v2")
func BenchmarkPredictOne(b *testing.B){ c:=lighthouse(); rng:=rand.New(rand.NewPCG(8,2)); r,_:=Fit(Session{Log:c.session(rng,1e-4,0.01, added(),added(4.7),added(10),added().rod(1),added(4.7).rod(1),added(10).rod(1))}); s:=Bare(); s.Core="rod"; s.To=0.6; s.Exact=3e-12
 for b.Loop(){ r.Predict(s,nil)} }
