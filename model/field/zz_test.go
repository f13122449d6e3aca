package field
import ("testing";"fmt";"math";"math/rand/v2")
func TestZZ(t *testing.T){
 c:=Coil{Turns:640,Diameter:28.35e-3,Length:.2403,Wire:.322e-3,Ball:18e-3,Height:0.3,Slices:100,Beads:Beads{Diameter:16e-3,Length:10e-3,Spacing:4.2e-3,Count:17,Permeability:110}}
 part:=map[string]float64{"":0,"2.2":2.2*1.018,"4.7":4.7*.979,"10":10*1.012,"22":22*1.006,"lantern roof":2.83}
 stray:=0.42e-12
 rng:=rand.New(rand.NewPCG(2026,1125))
 type row struct{ parts []string; core string; cov float64; hand float64; note string}
 rows:=[]row{
 {nil,"",0,0,"as built"},{[]string{"2.2"},"",0,0,""},{[]string{"4.7"},"",0,0,""},{[]string{"4.7","2.2"},"",0,0,"both clipped to the ball"},{[]string{"10"},"",0,0,""},{[]string{"10","4.7"},"",0,0,""},{[]string{"22"},"",0,0,""},{nil,"",0,0,"as built again"},
 {[]string{"lantern roof"},"",0,0,"copper roof set on the ball"},{[]string{"lantern roof","4.7"},"",0,0,""},
 {nil,"rod",1,0,"beads in"},{[]string{"4.7"},"rod",1,0,""},{[]string{"10"},"rod",1,0,""},{[]string{"22"},"rod",1,0,""},{nil,"rod",.5,0,"beads half way in"},
 {nil,"",0,.1,""},{nil,"",0,.2,""},{nil,"",0,.4,""},{nil,"rod",1,.1,""},{[]string{"lantern roof"},"",0,.15,""}}
 p,_:=c.Predict(); fmt.Println(p.Core.Full,p.Core.Gain,p.Inductance,p.WindingCapacitance,p.TopCapacitance,p.Frequency)
 for _,r:=range rows{
  d:=c
  if r.cov<1&&r.cov>0 { d.Beads.Count=int(math.Round(17*r.cov)); }
  h:=math.Inf(1); if r.hand>0 {h=r.hand}
  k,err:=d.circuit(100,r.core!="",h,normal()); if err!=nil{t.Fatal(err)}
  add:=stray; name:=""
  for _,s:=range r.parts{add+=part[s]*1e-12; if name!=""{name+="+"}; name+=s}
  var m Mode
  k.resonate(add,&m)
  f:=m.Omega/2/math.Pi*(1+3e-4*rng.NormFloat64())
  core,cov,hand:="","",""
  if r.core!=""{core=r.core; cov=fmt.Sprint(100*r.cov)}
  if r.hand>0{hand=fmt.Sprint(100*r.hand)}
  tol:=""
  if name!=""&&r.parts[0]!="lantern roof"{tol="5"}
  fmt.Printf("%.3f,0.8,%s,%s,%s,%s,%s,%s\n",f/1e6,name,tol,core,cov,hand,r.note)
 }
}
