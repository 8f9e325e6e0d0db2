-- What a check says of a job: a pickup that is not there is told once, slips in readings where they stand.
local p = ll.pickup{ coils = { ll.coil{ turns = 8000, wire = ll.awg(42), opening = { 16, 6 }, build = 4, height = 10, at = { 0, 0, -8.5 } } } }
local nowhere = ll.job{ build = pickupp, title = "x" }
nowhere:read{ dcr = 7000 }
ll.diagnose{ readings = { dcr = 7180 } }
ll.job{ build = p, circuit = ll.network{ from = p, volume = 250, cable = 500e-12 } }:read{ dcr = 2.3 }
local job = ll.job{ build = p }
job:read{ dcrs = 2000 }
job:read{ dcr = 2.3 }
job:did("Soldered the hot lead.")
job:read{ inductance = { f = 1000, l = 2500 } }
job:report{ file = "job.pdf" }
