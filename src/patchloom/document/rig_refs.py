def check_rig(data, complaints, types, formats): pass
