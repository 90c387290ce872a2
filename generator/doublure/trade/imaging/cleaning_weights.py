"""The weights by which the cleaning tells ink from paper, and how they are applied.

In: what is seen at pixels. Out: the log odds of ink. Never: what is looked at (cleaning_ink.py).
Found by tests/train_cleaning.py on practice pages of ours; kept as 16-bit floats, base 85.
"""

from __future__ import annotations

import base64
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
#: Pixels told at once.
_AT_ONCE = 1 << 17
_MOST_SPREADS = 6.0


@dataclass(frozen=True, slots=True)
class Weights:
    """A network.

    Attributes:
        middle, spread: Of each number that is seen.
        layers: Matrix and shift of each.
    """

    middle: Floats
    spread: Floats
    layers: tuple[tuple[Floats, Floats], ...]

    def apply(self, seen: Floats) -> Floats:
        """Return the log odds of ink for rows of numbers seen, shape (n, 76)."""
        told = np.empty(len(seen), np.float32)
        for first in range(0, len(seen), _AT_ONCE):
            out = seen[first : first + _AT_ONCE] - self.middle
            out /= self.spread
            np.clip(out, -_MOST_SPREADS, _MOST_SPREADS, out=out)
            for matrix, shift in self.layers[:-1]:
                out = out @ matrix
                out += shift
                np.maximum(out, 0, out=out)
            matrix, shift = self.layers[-1]
            told[first : first + _AT_ONCE] = (out @ matrix + shift)[:, 0]
        return told


def _unpack(text: str, sides: tuple[int, ...]) -> Weights:
    values = np.frombuffer(base64.b85decode(text), "<f2").astype(np.float32)
    shapes: list[tuple[int, ...]] = [(sides[0],), (sides[0],)]
    for one, other in zip(sides[:-1], sides[1:], strict=True):
        shapes += [(one, other), (other,)]
    parts, at = [], 0
    for shape in shapes:
        count = int(np.prod(shape))
        parts.append(values[at : at + count].reshape(shape))
        at += count
    if at != len(values):
        raise ValueError(f"{len(values)} weights where {at} are wanted")
    layers = tuple(zip(parts[2::2], parts[3::2], strict=True))
    return Weights(parts[0], parts[1], layers)


_SIDES = (76, 32, 16, 1)
_TEXT = (
    "mo}?5r#8Yi?l%24_cquzu{QKJ95*I6AU6Rw#5Th=1UDu(E;lGQ2RFwyzc&3g9yca89XIthu{PE=_cs1E?>50Usy44Snl=Cc00000"
    "00000_%m5F!ZffnK{U%WS~USSzcmdtbu~aXk2a<?5jD*<Yc|_8AvH`i*EAe8wKPC9k~?ZNk2E<s`8YH?sWv7(4lqSI!8Nxvx;3~p"
    "o;8v+m^H37v^AJDcr|S`bv2STur;eSi#2OCV>N6wi#4n@u{D!5bTw=>cr}?dwKc9amNkzxo;A2Nw>7pk!ZiRq06YLZ06YLZ12rHu"
    "Ks7rxAvGU0F*PeSHZ?Le1vUFL=`;*A9W^aA12ro(A~hB@J~c-*G&K`7=`fKmb1<|q>Mu$#!ZQ9d!YeE@v?SFrm?@ty5Uo3~vMg0F"
    "AgGA1rX3J4indgz$sK92m$I-7F)%SN5ip&l)-z(bc(jV3O|LVs!YU=E`nBUN;HWz=Q6wuP$)!TF*(tg-d?W`jp)Kz#BDFcPyfsub"
    "|1_*GG%-%HDlz%0^f3CfTd1L~inQXh%&>1U4L4q|{Hz!;XE#DL1usOl@Ur<b^)pAWcQvZ9OtfO3mnP^e0W`m`5HdHmDYXu<?KChb"
    "Rk0K-AG0wu=BfUvm^S1pAgXb!>9*IjFf2KwiZJi7BBos^C!*UXB(lyR!XUpb$0A-Wa-=4#Vl~~a*fr9$;H3Mk9U#E8Ff(K<#I#^6"
    "(I&((9<atNCoq36G$h?I5j8w97_5^s8Ln|9>@X0Vv#CF)39L}D)vRMOmMjjnwX!iKEUdV(4Y2v7@vn)o&n-bLiM0B$8Z;}gV=(Km"
    "hBR6(#Vp&dQkwU!9WZt-2e6_n?X1AC7^#t{Z81QQ3ou_Rd#~~!$gGbv_AUam$1wge)1)yluC8IP=%!sL<(rY9#;}X98!or16s**+"
    "%PpBIv@$j<qqXlGKrMwY<S^SUlCp(0!LUcK#4|as9kJdppe?Yox2}IC$*uUa9y3fd53#zo(y?-^VYAOCST%?&yQmDOw>5>dTrlr0"
    "M=<rV9<t@BSTbrc88UaX!mKbU4zf@+evxk+rX(<|?XgEOOeqd26CGhFx-ow#UMVxL$f>BPRj|~umaWdPMj*^ArmJ(YyR71($+D`f"
    "E2Kd%fwV-ks51>S5U64>QYzdmJgpik*)A6_$}H8h1uy?7e;#|VP8>!t^QaxPxibN)LMp?sUbQJEI<fOElrd~FYp&xk8#M|v8>sdx"
    "jx>L&Dl^ZlMyE3**%6Vd_^_a`;53D{__X#lL8PTERV7(47p-qCMzp!GkFs$!=N|m2G%Lg{^DK}o@G)>Rg|uuhBbzBM)v5=!Z>?yx"
    "C9s??A2YnMg{TEKYqWtaJ}|baH4y4CCm}DiGpHvpPNShO)vKhTH?IOQTr*^=8L^wOs;I!O>@)(frm$|XksZLOt}8PvTDU?o>$IIT"
    "XBI#-H6$1`Dz!1VYp!N3d#QpjBQbKYP_ukBrz~crBs1Eu1GFKuyD&{2ZZqH+Rx#2k&#M3{KC;{|4X=13wlvBzfuOE15U@QnwXdJB"
    "=q}JEl_HHUk0d`U$fnSzud4_x5~*J$+^~?OogRCs5f@r9ZLoPCpflwuQn3fF=rN%$F|QG>!!Y}>U$sxKekV~c%CoF2%b%{W0inDl"
    "N~FN7->o1qu`<S}-6E;61T?}hQm{rPQ7P!NxUCJfml{r>38V_DurN2L*sX*oC9(ghq^WqY&@-_#mb9-d+A-X+&8_mNS22*XBQR7n"
    "CNhyQ&?v;I%ByQMz%AXU=CByAaId1X6|_?_12J_gIj}OMfvq?(wl1(PJ*f303^MPgP$m2_^eqOs37xmFY_K`7gDp=iv#~TZQXvsD"
    "b*}HSzb=n5@Gzvbi>_`o^|alv=O@)KvMkE8!6}3?4Yf?PCA5Y(lpD9ZFtb&;PBLyRZ!n-Qrl@qV-?JX96uIrY3a(@|jy%4x*s0Yu"
    "fwcgvJuO$LakHhXyf6r{OSWva->tSZRy5<a&MLgAL@^<(b|zn{aI<-;Dz(WgcCXE&)|bjNMlw^d5~@ry$FOyt0Ucbitg;%j;;kyO"
    "Jg6tFNwRvX)-W5er!ST*f;3~R&9fIS%cvTrtuV{4ORbWvH?TV&M6<RqNUaf`GAd)PnX<4lxv1Qw6RK{bm9Mh2C@%mltumUMATX06"
    "I;VUuZLqhoKc)0B(=eMTKPoCD)2?T>pEJfMjIZmi2{ainb{hvQo-ZA-9<dHEK`>3OEUa#>05eK67cep;2Q<Soc`st4qA@MC2Cw_D"
    ";wcibpQ-h-LoHaUxU%6c&8i43-?1jICa}>lM6ocj1u|H$g|Jq(aWV5NJuIy=?k<zE5j2D@Atv@VJEKxA+9azqtDOF@D5o?mD=7gc"
    "LbN_Lk}x(gkG0-4>8?z!BQeV<d!dCeCoCVWp|vM4(y&{!%rbSY+_v;GL9n?q%(R>|q%b%zT(x|)^RG)TV75jkoiH;kf3$%zF)Dj6"
    "tFt7fl&$zMvNNf+tg8yJnK4za)H0+qotPf45U~xgwYLkhC8i58moU7qD62R!S+(~l+b}_(a=7juk|{+cPpz%2NUskpe6qhSFe#-m"
    "Z#Q`zSTayEN3>(63$ima#Ij^H&n*ftzP7iu{j`EI0T|jOG&IdDGqX#vbFBNRL8Y;@gstKxU$PgVQ!U~z$1nD#Z?JtX8!Y0h=&viG"
    "3oV@{sI8;2_O#Qep0tInbTZj1mnb4EA+YqCFD%xwhc5867cW~ejw;PCP8{N_sj_XT-yOds@GPUElCzyE2b>?JNv*oDoh9$1`Jnx#"
    "5;1`smaVn0Su_GK@+<YSgEHu><Fq%kZZb5l=`*@74lR~3)2<1iNwD!QEie77zpgp0X|(yGcrtV>U^Iy@I<)UH05r;*=&%$raWUJh"
    "E37RhYOn>i=%})(!>?<xUZuUK2Q=9;$gRICcC`aAkg1I-T(G||YbXMyTQu3S3$M$rIVI;Tf3oy7DlHGF8ZjC)z_c@~y|DMPb*e2b"
    "Wik*h9j`4iS15<D{+M+vc`ZmNGp~p)lCqjMVJ0oH>MPkVBQfwLKC%k7hcMHqxTIGzUalZ4<FI=f<fRBGmo}KC-LS(mtFF7WVKSa9"
    "Y%&Qk8>}oZsjalF<Ezv$+bcn_uQDLBB`689NwA`{vol~X<E>0EVY1?_04=PVjV-^d2DqH0d?cl{&NLpiIigjxzOo6hPb{G`kuV9K"
    "8>-PXfiw#=v8`?`Of^n69I@uErYr=sT&3<W-YFZb;;|zy{W2La-Yg6@)v$Lp`6}n6CajDxp0E9>)Gu?Gjhs@e9xMnhsH@vAK(HY("
    "#Vq161GQo$_p>rBlrF0<;js)YD6%Fo=rBI6&aqWBJT$qmQ?xj-=&49EMV}O~-Y9LdY%<L=f2m5gp01fJIj-U~Qme=@ZL&6}5;S$N"
    "?yQS360x(dY&3ncI4x_kRH`*B7BFV7o2F~B$Ff!?000000000000000000000000000000000000000000000000000000000000"
    "0000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000"
    "0000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000"
    "0000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000"
    "0000000000000000000000000000000000000000_N!wi1gm%>qA!)Hbt_3CoT|1SW1zYyx2PB<k}B35uq-AoRH&+~@g24^1tajX"
    "!z}}^F%Nkv^R0894=mfN4lsYN@~QK!@vxF6K%|+oEG_q_uC6kxIyD%r7AXL$d9QRRlPP^N&n+e~#G@7{vMxBO2CJbgh^@A)$*Br7"
    "CZ<v=W}MuuouwV7f~^uQTAFYxu&YumP9+{L9j;m>nzKu>{jq*DRxUiTpQ(<sTdfDB@iGCet1AH~ceV{OyeRiA`!E3>EHGQN4ykG^"
    "QK~X7F*F-AsIu{)kfM<+8Zq}Ti!>*+AgI=@gQ;yY7b-WS+_zmM8nJ*T)iH@Dh$_dgrL9=5*{&imgQ<b9zb#WML@P<GLMH~TUar^}"
    "a<4Kc&MsK35U{r}Ijn3W1gT!C>od(Nfu#JTH=%K@nke_DV69rFBCJj>BdS6$t1f^sJ}O9?^RGHEmato>9V`zcUM(=IaVlP^PA#ag"
    "7b3AOKONbfc`aM4wWyJ(>aRAiVKu=fC9@7G#4LEO>at-Z`!B$(^f8Glah=X90<l6YPcaHDOC%k(&n_1;vZ#?T(=+)hzZ@Vc7_rYU"
    "CoPJoq$vxrd#{+Pkgkn17_5>khM){F1g8}$Rw^?wy(-qHFEsF{wl99P!!ZQ8$+6|1Au*$~r7V9j=dL0vldMTA_nqFX$s2|-MXp4s"
    "GAOvSmNT`m6gBfPz9=y-p|EtZBr(XcQnG}y6EqF5G9>V>ptazvp)%8=)H08;bgb|srki>w5Ufxxpe7rsovvmu$t-0ng0cKE2P><u"
    "MXE6w*fdozwJN`@E-kOI>?IZ`^|0)!My(;L)vD{WBeU<ZAuv^{qOfx(uq_s_&m$9nNH5ecI4P>GtEdzyR4q-cDxj;VO{`%sA*q8j"
    "NiUYCl`j${YNDVVoHN(5$1KdQi8LuH<S$<|cC0F_?yVUnULbiX*`@X_(67KI&@(}-eJHoGqAnY@6rc|w*D|^#LZM19W+b34fid+k"
    "fU;XIEwJP)tFY!Eax#giVY3RZ4lYS7J2bK_nk?rbA~1%qS0Lvhnlo6bWiezl?=#>oX|g%9SgIr{tTPm{<1SaJ<*zxXh^_l5doZ#w"
    "jVl?i#x}DqL@`9HSFma?Rx&;?tSn`;^r-nTx}S0}GAq8Vx2+be=!~)?;4Qx#Ff@g<WT|E`qb$O*dac7OOf1kDh_SsV%c&eJ=^?5p"
    "t}?PMg)*@zc&(MH7q6Q!CM@}=6|$qQkfye(Pp}%W%BXv@OtcU)B&pG^8!bvQlPTJ;jk98~UNcRrn<#s!YOvlZh^<SoK`u46bu2Nm"
    "PqI2E1vE>oVk|K(Gbz!mEiUt}@Un6&?5^Ofn4=moS*hb7XBqFH47dm(9I$MpkF6B02C(rm*dSCc+MwVuKd1zvJtt7CgDnXw(=C>>"
    "w=ZX<x3}>&s5L0CE3+6aYA7$C{WUzSaxe9(Y%3@*p|iKHK`+~}HzMP%ZJ?B}*{nD*Z>uu18!?M9Cp7D<k14XOAt<3K1~Ri8&MJN~"
    "-z&4N+#u+!B&XjgajaRcQmry9)G!S%XRSV_JCw&M`z**M<SpYYz@|c~r>JDKSR&Z9T&%|?A}(|**eNWn)}sZSS}ujKVy<T-LNDE{"
    "9<u1BcrPg^V5k%=>L$u6#;_<UCamc&*{VUIS~1!$<ggVnNv_{ApD>LyC$HA7g`NYbFf0YEz%1b^w;pmWW~}C~P^y$Js4#b_a<Pdp"
    "^eB`r8Z+fEQKNIKXE0JUaVw9h1Sm~3%P_LA&nR&!(W@XOzpMH$cC$krp{naIqOdipQnU3e;4HkVa;jW2x-ccMHY?4v+?PEr+O`HY"
    "Z>c*ek}K;jlQjDzm$0a_11!ift~4*Pxi;T1T`#+>!m#ZwN-g!Q^RewQ11ue{ld#J#BD4`JETvqmWH6|#7OldmEv)yU7a&=!-Xw=8"
    "-Xh*DHLnpbsI7V=1uFF`Znd!_?6KJ>YAKzktFP3gRx0kRU85c@%b%qnoQ!BOfidx^EUn|SSgbHK3cT&HIImN<x-_e^$)6`UASS^u"
    "L%VV~R4M_oy)>RJ-?3mP*)>A6b*VZw2PH-~KeUjtMllJo-l_gGa5o49Nx0}PjJ21zOsvx|HMVdu%DvV*UNHE#Pc8GhT)B`j)3`jd"
    "XfwMZv9yUQa<J93y|XYgU!=OC!z~iAb1h}G7_9S>2Q5M`L@x{}462l^>8O+~W~^E$?xuIJ|1*p)_^qoo(<{TXBrPQ_!>fudX(lc%"
    "0<>`~fHx&LrnAAY4YEQuuCw<tF0Lar@3398SSTVawltNzvN7hernlI%cC^H`b2sg^m$+{wPcAn+O1P>v_A9Qi__VdN+cU|bJTYam"
    "GBVCD%_BK7@-Wpn`KBr|uOZ(zbhHVtiY`tzt0^WeRx^MvVKkgLQZ~-9H8O50U@dzy(ky2lg(p6wrKn6Qb1>B^&ai<iwkH6x%aXn@"
    "FeK=)v#S9nT&)tP9;=ETqo^P<M6wyJA1|z;?yCwhF0qU;ailLLhOJ<%DX+?{Q7k31uPr++fEkjqBr-ju$g5wfB&}$uFs}(LAgsD9"
    "gS1euRx!UVqctY9RUAAsJu!4NWGmvV7qK+4O|CbuF}G#3fvOm@nzCrLq`1yBg}7X^Xf#f=doA8G1hT_1sIro|1GI%Xo3}qRJQp1_"
    "lCIh-IIws&-MJMp!?18DG&Vpnv@XK4nzL*u#5I(-nzB74ajyn4qOz5)B(xB?yt4u;)i=SYiLXsKz_jGE!K_^=HZHC%^)Pg+aHwja"
    "@UY7<gepF+>8L!Su`9)?*R&Qi`7ehvY^ZoF7#_McO(7GvjiTPH9JE|4rKU<SuCkx6D6erdIWbqKPOSu`1f8ZXqO;U3^tPTeA+pmu"
    "*EIhqT{HQ!fiD^sowT?xi#D&OL#>jqlBka~6EXFyHnQoke>RFR=$(HgvoipI{WTLP6{+s94<|wtg0a3VPcRdxUb0y(HLw((E-C;3"
    "Up6K#ffisiX*Du5ts|o_Dl(fbp{-B1n=|CAg);yEq`2xfFfjikCaz31=rc066fCGPPpudwvMwkv`>_CkM6O&l8n2lz%&Dn0WHfT7"
    "zpzQPJh8(!xVBC)FEIdsyft7pEV6qrGPvfj0xre2O)ym~f+>G8oV4{I-!K3G!8RAQSSB4av$R35S1YzAF|qEa3o^YiBQ8v^$}|9g"
    "ge@Gmk~L3}#WZpt;V?NhK_O8!6SniQVK&q(Bq{&^t+DN)zp>deuB2Hselupcnl#F?U@M_21+`5m)-V8o-7^3y!7>iCPql@xdA5-)"
    "hA>UBf}mYC@ucoCDK!89O|GxADmLXXXRlJR6E;3HrmeNI0J0`D4zotAi>d&CR<kZIDlqgkwkx!(l{Ydp_bxOwRka+k7&E`D;3@!s"
    "*f38sy0l3%TQY$tT`~K#_o{$2NwpocP&Krz(yRag2(?GKWV0<ag*50j(KXe%D>OW<5;d}|Vzp<n12zDF5HzB-m@^Z#7AvMO%dbYX"
    "0<=CbiZiM(%&$(YZ7l!*$Tc`HJvSjKNVplQF|vCz52tsxrzevxgShgvB{~3ro-a<Yc&Ko;L9}GL3$moN#Iyx9{Wcn^qcni6q$vOZ"
    "fvVy(^e@aa>?Q1^z_8-39<%+cn<#KBg)+3QAu#{|TQNPfwlbEg4X~5BIkmVcE;j=+2r;8K{VnLTa;^XXdMswCFtAiN@-Lh$C^t?j"
    "w={_^AvLcw7bp>>@-_efCN<(SnkeC#_cAQEd8)KC=rQmlEi~&gNHo(a)ieMAS~O=cA2z=%+OQd|6|m+nUojpu+%di}o-i4si!=ZL"
    "Ycb9!NxP9ZxUb4G3^-l3S)1#%OQ2mfxU-V65Uc<I$1}7rGc_=+Jh;j-8MLY}7BZfx%`aTE_ph$8@hAX*aI*5Px;At&R5lznT`<2e"
    "jikM=+%h^icChWJ*D?Tr5-ejj5Hk}m>a`oUjxnjIy|4MLQ8?<V*sp>q9XSAihdGfV#I)tJS}`6s5wn;qXfW-#wl;#ZBP8mu^C|#<"
    "l_Ke}L$hQuUN<#1-Zc%aWvMJF1urhPrLujmLbCvX549q)EV95ir8Snd7Bm00udxa>^0kAtVKIKCdbj`p2)WibSGCJGLo!UcOEX)v"
    "+q1^6Ixv?oKDB=^i8la%$2OO;Gd2jOGPWeS?6~9@bG*+suO*(XCodkc2`~VF8=^_ICn#g7A~!fNJuvL7doh@=!mul@<fOu=nyLT*"
    ";;%F`NG2~d3^cYd39Wi44y;n8NG%R2UlEb1lr$-%jw(JY#Vn02<FKt9t}kyO891voF1Qc5#yQb6mAC)^<+83hin!V}6ga>+BRGq>"
    "zN`"
)
WEIGHTS = _unpack(_TEXT, _SIDES)
