"""Units from scipy's own table of constants."""
from scipy import constants as c


def pairs(v):
    ounce = c.pound / 16
    return {"ozin_to_Nm": ounce * c.g * c.inch, "gcm_to_Nm": c.gram * c.g * c.centi, "inlb_to_Nm": c.lbf * c.inch,
            "lbf_to_N": c.lbf, "mph_to_mps": c.mph}


blocks = {"U1": pairs}
