"""Independent computation (SciPy): scattering of a sheet between two surfaces from its transmittance, the internal
reflections solved as a linear system. Behind the light vectors and tests/published/light_translucency.rs."""
import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq
n=1.55; x=2e-3
def fres(t):
    s=n*np.sin(t)
    if s>=1: return 1.0
    ct=np.sqrt(1-s*s); c=np.cos(t)
    return .5*(((n*c-ct)/(n*c+ct))**2+((c-n*ct)/(c+n*ct))**2)
tc=np.arcsin(1/n)
k2d=quad(lambda t:fres(t)*np.sin(2*t),0,tc)[0]+np.cos(tc)**2
k1=((n-1)/(n+1))**2
def T(S):
    t=1/(1+S*x); r=1-t
    f=np.exp(-4/3*S*x); k2=k1*f+k2d*(1-f)
    # sum of internal reflections written as a matrix: fluxes up and down inside both surfaces
    # down at top inside a, up at top inside b, down at bottom c, up at bottom d
    # a = (1-k1) + k2 b ; b = r a + t d ; c = t a + r d ; d = k2 c
    A=np.array([[1,-k2,0,0],[-r,1,0,-t],[-t,0,1,-r],[0,0,-k2,1]])
    a,b,c,d=np.linalg.solve(A,[1-k1,0,0,0])
    return (1-k2)*c
S=brentq(lambda s:T(s)-.55,1,1e5,rtol=1e-13)
print(S/1e3,"1/mm", T(S))
