def check_show(data, complaints): pass
