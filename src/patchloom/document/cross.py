def cross_check(rig, data, complaints): pass
def cross(rig, show): return ()
