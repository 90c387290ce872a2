"""The weights by which the cleaning tells ink from paper, and how they are applied.

In: what is seen at pixels. Out: the log odds of ink. Never: what is looked at (cleaning_ink.py).
Found by tests/train_cleaning.py on practice pages of ours, in two runs (see there); their networks lie side by side, and
their log odds are averaged. Kept as 16-bit floats, base 85.
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


_SIDES = (76, 72, 36, 1)
_TEXT = (
    "VK#I&aW;@Pyf(`=#WtljgEqxB>^Al`@HWskls1+&);9Py|2FtG*EX0okv7jZ@HY51?KZ_Wfi|W#$TrS4zBZ3Gb~bx9WHv%KKQ}=)"
    "KQ}-(lrteTgfwq74K$xLB{jx1gf-qYRW%hhU^ag>?KGP;G&ZI+^fVzfn>5)pdNd6*kvoAjU^Fo~1UW4`csBh!7cl)ewKc0Xtu?DP"
    "lQo7lj5VP(r8SH-Y&BsuX*Gp4p*5T}el=e;S2bTXeKnjlqBVszXf<FpYc-2Cr8S{7iZz5ak~OL|t2L@Mv^6$1H#RmlH#Rpm-!%I)"
    "95og-{WJhI5j77r7Bvzz=``Ln%rx#a0W}Xb>of~B0X6nC8#N>~4K?mG^)R(BLonSj(l2>1fim(klPlvfswBuUj472c1+6l$s4Pq{"
    "7pQoznjHr)e6~cVyd7P!iL#~)C@>)}2r!YQ#WPvBZnS`)J+CUTvnm*-?X}h|A}&ucBQQZPrk>-a4l(q!xvfzx%q8ipYbwJl>##I1"
    "3a?$PyBQs_aITmzUNe2Ou&~A{cddFaTC04pA}ju}STG}`XsemAtFb$>Ln&x8)~GTtNF*F1y`?p>%qg%mawPpPl`Y;Y7qu+1ur*6G"
    "^fa6=DKS8@A2I5x=`iWDQmB)zfV9!G!mwj8{x(jpdNK<#+A))<4Wlrv0W{UM{4@`&3bOX7pfL?G3^S26@~&yL%q&i%->s1`<El%u"
    "I<##peKWx<q9+#|xGr_HH7vI<Pct^NV6E3Gx-x~W@T?3mRyQ~_^)5BG;Iip5;xjg{YBim)LbOqzh$h@D?=!Tp0x~GJ9kl|n;WQ>F"
    "NU;hm4znjT*s1WTi8j<KPpPaanl$vNcdquZ%Ph#YWi~`Kl{Bca^rBL$BdBR3)i#Z+M6fI<`LX`57_`JL1h%6v{xhO1g`^~`FsOhW"
    "*sO3c<}b1>tgu2ekE}ea5~^pc+P2KJCoC|efH2~*6sA)s8KTT47P7-2w;-}DxFS+5XrvviRyEG9%QeTe)uiyO6d<;=ATwGlxwKX+"
    "H?)~EBBr%5xtahi(W(3>bSnuZB(z&7F)VO1a<m(y8L>zzyC)bb)HKI2I<R=P<*n8%{j(ygrzz&N11bl$fFCX_fiR`CRJ5rwLo?|t"
    "#3s2h7O=f6A24w*EF{t~2Q@M=5UhkV4X$S;<1h%EsHrih0jx%`%&b>3jVuJUsIn&|B&@Bm1+ed=;;(+O(xrT?UZ@MKM5<-1)i7PH"
    "iY()@v!rY-A+X~p0<rTfO|-PIm8z>H8mx>U=P1P{7OK}VKd#lV04X;t9x6+)*C<@3MKn;XD=%TR8!z~?!Yw!~f3)qf5i}yOS}@?S"
    "d^AihyDZGEM4ITX6fkHm{jZoT;;go?4XKByVKFz50x(Z2Yp>@ZzO02b=PvWIx~j7-La9eAhOyTy`6(i^;5J02gQ;9Ga;zXR2`R*_"
    "lrG(@Ry38Rh^eqL1FgxX05E$rqA>`me>I*hH!1<ISuTz&3n}lcoG<7uhBB_Oy)f}H$)qSSpsrG{+NM+})SHK(ys(0>4lb#x3#`hp"
    "zb%U@rZO!om$l^_H7#{7+Az;8gtB=xx3D;`v@<HN1vIp=eJ@rf(JB_HB_A)MDm3~o$1+8occn-rekoF|Q8j(Ape;13)~tf4NwLH&"
    "J+$61?J+Yg<gcPMeX=DabF~#N8M8dEb)zS+DkFZj5wX)SlP#XJsIG7(yshT54l_bD1F@^N#j$9tP_w-!Of`Niu&Df|sx^DGQZU~x"
    "Juv675VF{*NitqB3o>T2*(?*7+OgOs2rtbr<FW&^Xfk6k60p6l_cL6mE-M<d`5kmLj;&uUDXI4~Y_u_<H#7jSE-vFRM=Gx{GA@}g"
    "t1cp}HL|`XaG!uJ1|-e4wX7m3{;@(eZ;@jhnIt8w-LW|_J}Cex1szo=t1)mXP$?j<xT%|{NwC7QhpoY|J0QO-k*j2}uB^|Zx3ZnA"
    ";-p0%T`>nPFfM<o_^==>Tdv?L?w|6i?WiWCeYBIWJFMg&B&&?G=`rcB@~q{oYN9Qt^0GuPTO!yany}F<K&GOuC9@H-MKNbF0I$+4"
    "BBVGlceFLLm^1z|2dG&vMJm!PF|7?M$}SEtz%0bG_Ac}&aUOB7MI1XZ=%^I5sWbAbH7dEVQ?(o>FR|n<0JQBfVJ$x`JEk%*Fsza;"
    "BsH9+nj^U_o*HZ?F|)t0kg@5msWGS`3N0Qj&8h>UZmX^`KrA?_O`y;yx-nF^kFc7h#W2jRJ*Q))Qmn}_h%sI=U9Q+L5H$fb5~$@X"
    "gfwxg8#BeMHm52i%n^gC?XZ@x)--pv?X>ANIHZ{^N+nP*46S1=J+!Z|fwE;aM>G+(H!NH>W2|E%jjkUsg)@&CUNZbO!?6La1hyM7"
    "*rGDAurp0E<(`4EC#*fHg|K5Z3^htED=a%Svn+S8+O)N-`mU$2UNVcfXssG8*B<YwBrCTq=q!dT<1t?|d$e0G6Pp_@#;W<XW361Z"
    "9I%To4>PZ^d#Lv{VYGEEG%%^DED+r>8zCmNDySYX%Pm~1)2C}KajN62hM>GOwJ^ji`7O9Gl&?u9{Uo<EjxInccr8U96R!WYVySm9"
    "hOVACIx_Vu+OfT`d8R`&Kd>9EDyJGW&mkf)WvYNJJ)@8>!>gB}C$IM~OEXie4Y7`~pQy2};WYBEo3LcCgdMf0oGU3TP`ETQ;Ixu7"
    "SQa)kD<lsz9<?X9T&`Lz<1ZYZI5BcA*|R^bBdE+XLa!Y#J2GN3im!FBP_ELad^PK__btn+Kd}h1f3Z9+TP$5R^c=4zNU|U_D7BC*"
    "9JKJP@wex!k1Q~>_@@#qZmD-L7cpnBKC^E%oGe+T6En`R^RpMUurNLzTr<)cNioDJysPgjFS5xm{H|srt2DYYcA%p$2CytMqOX*&"
    "+$T*fg{yQjav?D^l&k`&MlmLxzOJ(>rzxwn2P{&w=B1M+0W!5Om@#rIB&ag12rz`N&M;9Zc&N6po29%e&#>pQqqD}b1~9^`$|=6J"
    ")-Jv#gd%({gCr~~wx+zNo2&aQ1*uUb&#;7~j2>;N{}xO!Vz6c(j5F3LM6vg+*)feT9<Kqew=nLoQMEj;gRN*LBeRY%qA(z_8MS#a"
    "P$;7{kShYMl{9=XX0f)W+OLKqE2?&|pDA0c!Z6D%O&rajb1sIV{iw9Cl`FU_H!sMuC$TZHi>yg2Vyy14Y9~G~wX>iswx6P~^q{RJ"
    "Kcus)&#e+MpE9|q%OaYw^E0(DN3b|0Ln+g<sjUFDh8jbl{iFJ+q%b6>$*piFlB+YZJu(!oaV)f~Z>sh&PO74)8momOm8)K;6r*4$"
    "c&~*s%^xi+wz0*bj<STVOt6kDS+f!y*ejZ%i!cc=nIzsbNFX&Lf36HE?Jqtu8L{!Hm#J>BzB8sYi?pOH%rVTez^&(~OEH1688AvT"
    "7&3-1#VEI_xT|3_vn|V~+pq|)U$2m}475Zt_b_BDjk9r=i7)K2S}PZ@udNU+K{DyGOsyg?Au(SuxhJ);yRDnC#j3k7@UZnTX0Zk|"
    "f3DRhma!i$Um?#e8Z=|H466gOz9KLvQ#2kmH?E5>Ft914b*(Kis4k)|G^pw%|1sdEMJ4Sr=PmoU{+z9_W3Vu=cP&ONr?D$EM<D_;"
    "XRhF~u`Yo!<uIDGeXeCRuq|M-Q>d+(;j}BJRj^VsEU?!gPL!A~C#<Y60;PO2MkCxYVztC7oUu|c!LRl(aITCoTQEVaQn1lAQ8f22"
    "i>E)aA2R-|uCrOL#;YbV>a^0Z)hEL*r!2U$v?+Bm0kuN38?<~lgBzv0AhSuiKr&=3WiXE~o2Y8A&9fD(2)Wz4{H<6uggmja%c;mU"
    "11>l$*D?Dgt+YF|Myf0^@v}b{C#Soo!=%J1<0}3$zow5hh_uqKJttkRhNG39pR64y#4|s!6SFliKC!$rlQq7u$E`IrRky^mrY@*6"
    "bhYfOFfB}|U$c^{urU0vJhor8(XFa9OElHBy(+G$H!&BiW+qRnUbAVc9ksSAWUsoT!<V-+H!?`D1FAYRhAGprT%xL~ZnCv14J`~3"
    "TOf|FJuu)c!mXdJ=CEop{Hxq7I<!T$#i=@|Ppz07#WJ_D)iU)d(v_8|)2_lR$f?|}9khz4Nw1Q$%&Yw{yRc=R^&C&JoU#bB)2$n_"
    "GN>A@I<ji2$}kbIlrM-acQjF}y0Zu_zo-kQp)k0wKCOhUEwCvcGP9~MJFNnq^RC)3VHu4oHL)r&<g;BY&>{h_!>!-1uQE2N6s^84"
    "A+f-)J+hoFswrVGk+g8JH!g>&jx>p~LM@l93@Smc7O=UsNU;2{?yD9w8Z^wUAu3U>hq9eAtf<VT0;*Y~fUl*r6fg2Dnlgo(6)=G!"
    "CZ}gFVX&vMFs0)$#xRa3E-D@*z^+xciZie$cdyv4d#n7gUY;DJzcF;Rs<u2Tf~o2)Ev)6UODhYsA}FseE-=HYps8P%Ij({ri!nB_"
    "ET}!P3#hcVG^_6`D60Ib+o+(j2Cf4rC9V&${wHZC{WA_QV;lJ^iZ2kc5wQa>HZVP|A*@}l?lLzs3@|4o`7^IGW-m{plQAH*^ser("
    "(<ue9kg4OcH7!S~r?Ss3$S+nbQYqK1Ml!Fh!muqY<*$_~BPVjOeXmb2X{s%)*sZNK(52}xA~DFf;<J+~*0OW1gtmSpgDRFMC@t@-"
    "5-r3gX)U0o#jTMkt1v#HysG>x(Xkb;9I(SNH?bqJ_AyPcday^fWHI0?Gc1}j-7bT&2Q+jp5+>y~DWgL!&Lp5Tpq%os7pE#L9x3uA"
    "u^now=db21ouYfGz#^uzn5veof2$iVGp^66;4M+MC8me5nkgAFqqMZHeyV;oR;<ylh8+npysfe;g)nfkIIXR-1~Q7Wbu-m9xGmx*"
    "IkYl0h%hQKgSF8$+O9sX7%{#nZ=riI9xN2Cm9-u)$FNbfy)tR7&9>z-IIyTQ!L*VznlLXgP_=Ni;jcX|Ml#{Gcd^#9rLhSyX0IVJ"
    "@3q#ZB&lpMR<>EN+OZ<97&S2{7AZ)tK(u2h!l*MegRl~~wJ_u)u(oF@PB8c<rnLvSBeC5ut)qFdwyGebQMNcHk}xMNb+mFaBPwby"
    "nX?$Bhpp`}pfj4bnyUe@j4?;9#4?jJl9&#!1hE9LqqqIB7pDI(jWDXO7^^BW>@bof7%oJru(U_BN+(pY&9e$E?y5;NxUy%dC98TT"
    "L$F;i)2tk<R;^5}OR>Z)5ws_`BPcnoovkpep)qYKXf0y22dRoH0<w0mhq25wOttGM&oDQjXSm%Sg()~CLam~#H?IXOY_hQ}Bq^6M"
    "T{mnUNish(J+xG&{jnl5w6a$<!7TtVuC}SQ@w9R>r6u^ZBr+*5!?55h+pY2~v9!0WfiWg8HnR+|Q6@e!>9u#Vq%+aAk+dVHdMQ~g"
    "r73T<3oOShZLZ$0KB{Q1fFD7qBe<5cvo!Uu2{1Y{?ibD^Dm1|?A+tWQXsqn1G^M4qcCFDSPqGc5MlH@Sv@hkRWUy^65iHKD)UO_)"
    "{w$3qnyr(v>a@qGleBlOU@qybdn-<_5G-&lT(KIhDzg`?ak4(NKCtVtLNNp?imw%}XD!I7s<Bk3VwLr%yehu64>74Ly)djIZ80OQ"
    "EvT%mU#^|ARxn{R2A?AuVlu-kiYOK=6|mr%BP_$RbS~nw120T5dn&&$LLAhrma<@|&K<HO;w+G&e6xxw_nQ!<I<2j+jV0Kl>!9hT"
    "6f5hoDyik95~zeM8LR598>;23cCDwcv@rmxdNWZlm@d+!&!Q@@5w)YO)GnwgSFVbtLN$IKeI~lERw`(Z5-_%|;i?d&@v3aG%O`^n"
    "1~GRWiLI)zPc-r_;49^_bTZwn*t90IUos=F*E6Uu0xgL#!><3IKd|90953;#udXevU$p6>X)<aoRy21n!mT<n#<9UNKC5gnO0qAm"
    "!!$0i8>Vxv8!#F!axRs#=rhSPS11QEmoSnt_Ogz$4J5ubXRsfyIWFO+%9F7)cP;a+2rm^gqNi#q7@bVAF|^<^?=!iZ-mnKUWiipL"
    "BCH@LVX*kM-l(RjvaesUQ>Cq^{WHijysfS)YPIz*gsFcjQ?Ru#Vkq^cQZ&l4R5Sn>W;Dhw9I?0>=dXXTgtUAvm@x(~WwP0_y0T=n"
    "E;SA&k1??<|E=XRXeikzP_f4?Wv_;)+brXv*s4D<H>`Xh8y_&QJskP5+8lzg{jR>QFD2b9a<b?(AT0-|5HS)ox3ndzw6N*2XsRPE"
    "STY1I53eCIPAGn`^q6ccZY@A4C9iufg|dw{R3;;_7PPrCPOz6Vhp<dCHnd@~|FIe?1}^O@Bq5V9O|YA=#IL=vO|G$~f+vqNE3El6"
    "=QBkso33b==B^v3_a}NIP%vJrJgnfb$TPVyE;3Uw*(=B|7%}4|FtYu%eK5$VuB1mZP_7p&*syOI*QNd^i8hR-(y+2KoUXC7Q!<n+"
    "UNZhL6096Aovo*>(yPZYjw%Q!t}DSY9V|<%xv<2r+pmSOSSh8i6Qo5TlQ71tRkmazr!H)=t}s}y$glS(A1$w_94!1OI<69@U7q%_"
    "pevm&Z?aLYW*%uY;jH>B$SX9lpE3`#8z}p+Kd_gyp)*b|)vZD>QnJ*o^emj3fGxDF`L~gzaU_?u!ZZ@KDxyoYuCo8HMJ$gqhA{h`"
    "YqKY;8?P`a=&jza#jUBWTradTD6qh|Tdb+B2Q(`v$gO>@`x#6qu%#ZXM6yb(cPTwE8!|k!#xE|Z#4tCl@2}G@e>4RuC$PXQi!)^^"
    "4ywmAcQgVtrLAHuKs7)%5wX{<oGkaVP^H~3(J2zF)v*&V?lKTC(=7ir%CKuS>MGo%9jt&cjj!;j!!K!=1v5jn$E2wyQZgPh2_?s{"
    "8n=oyAu>WRQ87U@r>?WIE-;X=ysbp7!7=|ZA~FIpY%2dRJuo<?Iy8W-CbHKozp$Y!<(^S6YoyAun=1z=gPcOE6)gKLm#fMzH?S5l"
    "yDZf)__S6f=Cda)hAyEn)Ug3A8?qZQ-7qk&!Ldm-Gc>QTO0+Gp+o?D+HJ=NxHLn1!XE5$3<0|Z=j3}eF@2n5BjgZBxK{5L>-zLi~"
    "d#?($$g!KKGBwLHzb&gTsWacN-K|%&#46php0TsB0W52!h$14dQ?VX4Br(P@(kNcCT{5~ea;ZDEj;@X@Dz4TvK&!ejUa}>p2sCQ2"
    ";;eo#2C<>9VKi;BEG=BJMXD<-3@}u$i>6$%x3Whj8zM%k@2bhHDXoFDNGQ>$b*5pfnlQn&QmKls>?%(*s<hj%;~@61{V^c0)U(Q{"
    "PO#LhZ#0LpDkWYdZ!8ZeE3Ggzfi8WqJ+Ps$MJVj6000000000000000000000000000000000000000000000000000000000000"
    "00000000000000000000TCajNNHD^*n6oymvZ|UeH84dr?Y4)o7_2@y8ZQkvd9;Ex=(sa59-bSjoUw4PqZb1&j~Upt+pLNn8!WRi"
    "TseU$6flf2IlPu946xNT00000000000000000000000000000000000000000000000000000000000000000000000000000000"
    "%a{`|U9h93tF9BN<u7nI=QJ>|Sg1lUk+Ng7STve3MKn(;S+44&DK0~{Pp}rW3#|z@oHFJtEVJe_QLIHUo+ZYt1++b;iYn78vb0wv"
    "00000000000000000000000000000000000000000000000000000000000000000000000000000000w5nGyC$4rZ>9Hd)Nt%=-"
    "ytU6Rc__a#CbH<HVyxzz;;pH#Z8AhN)3e~B-><YaS+0q?!zyE>(ymG{L9O~R|0lMv1TMj{eloMFL$U-m00000000000000000000"
    "000000000000000000000000000000000000000000000000000000000000FfebcgDgO%=&yXQud>uIn<!whjxpA!PP1?_P_*Ex"
    ")g(%-4k$~mfvhc~IIvqc^tB5#kt_VK+#K04m^2tN3$0|VEU4=+UnyoVBe2ah0000000000000000000000000000000000000000"
    "0000000000000000000000000000000000000000$uYvN-LEXDakHc<0Ih^GcCxaxfGyjqJF+>h3NT-#=CydQkFZm<<*ae6gsGS^"
    "A}U;}C^Gh_^{yE&0V*Y}{H;Q;4J&)Cjw?I0O0YaEy{k1Q(yBuvY%gu8Kr0*~ZK{SIM4*@`m8k6{V=A*8k1X>pHK>WK#~pt&(;~mJ"
    "nk~_;{tinj$*o16<SVMGaVfAH5VGQ?s3pWF=%|w_kgXLO2(82~vLzs<jIRNp>#x7FOEG<@)UA1;{iq(T1TAr|hNbc>gsL&GyC86|"
    "VJ>(sjwO>ZFr;OoOdiiL;V)3G$EnDz&9Gu7A*5on1})R5eXjnh6gBg#@hHuzL$6dQYAH@Kr7Zz5i=*%-fi4oM)2e?gV6Bv_pQ+h1"
    "11#^bA+|22$tR7dHK~TG@Gc^>Lok#sUKxQd^rv{Kim-k(Tq71R=pt$i5U$LxZYM&np{mC)G%$cLkFaqws47RS{3=ALw5(C8FRIS2"
    "{G}i(NSw5-cct^CU9IpeFPc3oe5*AqDkbzS^Q|@|X0s=;)UjVQD=rwZd8u2oH?8HQ!ZP2icPr5*OSa@OtFf4}d^NN&v@9$jo+xuO"
    "3$ctR(6lhAC$s#l4lJ~$QngB`NUGMYb*(8gg|NG@qoxkAh_dIVq$LcmZL_E`VjGq*DV8E9uPKtJjHAUYn<&jK*f7@}4=_Bm>ZnUB"
    "B&r536EyrYd9uf$Vxn;@_AtLMYcvY91E{U7T&X}Z>?s7JrMEsL_OMbWtT9w4fiNr>lrdSX5-p&kkg(DyA~D>lb}w!)j4Gb1PBC3H"
    "#I9VmU@k7EMXesS#IyFYVX#27YoPF}fG<)pnJ~7f8m@gYEHVSQlC3B!Z6%{ETPl&SeyuF7s;&hvU8zm4mn|SG5-TgL5GUiTGOo55"
    "KCb{LpDr`4=&zPA9IQDb;ixjIv@@P6Vx-xm6QN73nW-<Yld&l%0;-s$ez3VNDXFBZ7P2#_Jf%{ttR!2rOfWR5nXEIk9JA0Zk}P$z"
    "J}ED;xsdg(v$10=1Sl(@lCD}UV<)C7_#rhPzo~n!e<;VNK&>>U39KkC{;4T2gDzh&87du{#IGSRd$2*M1T5tuJ}m{SODaC8E-j3("
    "^C6EdARV@ySS>-UnW%QC|0go5KdhrIBrH8GsWjfIEicG1K_6wYRw&IaP%ZVVQY+Um6|I&if-gcU)S7`7%&f~QpDo2LIj8s<G%cO6"
    "1gd7ReXK;VO)ZJ7ouHyBxvw0sKsA>p`LgdQrYumdzp_Ro$}gj=&oN;tPo17C<FF_!E-~vYFeLZ2r7r6-m8f+vqchGbq8$1u_^_WZ"
    "(J7It6EAwGh#cFU=Q576DX_UQrX$+3k}s*UN2_A6b+E)OMKOr64=}wdurlParXNPLl$`=I1GJ<o!m@!iLnMT)jkNP9Q7g(Vu`LU&"
    "3oUY}hAHr{Q?GTZZLW1R0<3y0ZlLin-lp^^G%6P{nJTQO88pSGjW1@jq%rBZs<FGD1~GcGj4Wa?!mj)()-p~kr8e8IY>gl>pD<Xk"
    "6)OufqOj($f0m)7rz9gVXt!xBF|om_c(MpFc{3NQWw8&iPb<POH8B9K*rI^0xh@wlBrj{U#WSEKJ2M<JcdQ*N)1APqnHyv=AFe8>"
    "7$}LeXfv3w^)$~hp(q6}g|Jhx1u>tpE3#a&^fT$N7$nB7ezn4^c`~V@sxob{m@pGGpRg;c%^F6fRWsQyjxatmBd3qG?=TK6L$Xh>"
    "&@<07=&l?sL!osoqA?0A5U?e+(kkyV479#4wl4xP(--r!m#}-Y4k+6+H>{eeS*+3|cbi@)?yD&-cP9L(bgoM<t1LGwV6o9M+$wyp"
    "9;y);x->d4j4GV14lRta$0hnF*08~<C9V6ZtE#%Q^fU@D>#o)*7aDgiQ!>W1DX_9FQ>j@Xt1MD55wY#AxwGdR!zDQ_TrhzwR4`R7"
    "qA|}c7cMHXTd~TmU!=<{=_siuF0aS2AEiaFW~_Cx`?Ail3NSLNh_Fc~kS+eNqazc5A1|mc8!3gZk*N46HZ3)*6QGf(HLOW61gUB?"
    "ATMmEYcKXBMxursaWk>92C-PILaW56B&`7>h8@MG<|sfZ>ZAZHO)ey{sHe&)Uo>DOL#y+rh_c|QDJ{h=?yBIc{452cLoj73*(ks<"
    "=Bos&JuK-lk*stmBdho(tSqIjZ!`ufw=YICT&xnT%&qn%MIc%!x24W5qpz7JqcbV2V<?cad@lI4`JeJ2uriq?B%v`dO(c3QVKLb-"
    "Kdizl;4!i+ATVDfcpj>x@~rTyAS~svr?hXdsj}rUrma;nDkIo00WsvQsIf(~CK%l=a<OnSFf#Bi60J_HbS>~NZZOOzRWJ-GII(3b"
    "TCz4S6tKrEkg&-hOfqh$HnZog>MbxVA~caLe=Niy3NUN1J|M&)Z8JHkMKMY=z%#fmL$VLEGpYb8e>3p0t+EL!K`{NSi!U-QlCJhF"
    "FP#q{z_Adq7%);Z<E;8E!zc7ECoGh()G$Lbp*8TF7Awdq!7XbaW-uSJX)O1p5HI4Nd#%(c!ZeyJ)iU0oxh^-UwXY4QXRX~RU@(v|"
    "Un}meoi>XuBrz(iJ+M75Fft@CkSt2H)~MSsi=R<32P>Pcm96`$%8ZsIy)B{~x~*ZP6|AhJ9xeHj!!6=8{wlbwW+=%s`Y$vgCbG_~"
    "+%VTN$EnV%dax+0Q?nf}%Btuxm#%lPjws2drm1_VZ<~)ScdXa1(kQMg6s7ko88mFPMyW_Ki7cJ6T&<}rG%T<gX|a+gtEmMn$RUs@"
    "i87NdVKR~_TCH)a@UDC@4=moO^Ra%eY^IT_H?RY+oFYJ}<SzlMASi4p#I!suSgYzT^)vjiCa%3M*D7Wr)U(2)&MuQJeygURi!Je^"
    "8mt~QkgS$0KBSN&*{>`pCn}|_IkF?MF`yHgUM&~0uBcD5GqmS22C1p8{VXLiaw)#BVY5iEGczKqfGAt3P_VoyXst4^94-;ITPzK-"
    "DzXqK+cPY!NGuI56)Cl>S+H^_HY~lNnJ{*or6ohI<g7k3hAs1@p{PGE4m8WA{IJe6pRe&OfV9OdeKDV`Zm_W|m9$7SO)fjJf}#yE"
    "{2`Ds^DbL0H7`Lfx-nd*4=&QK&$3-C%dW|+bfW?>KdH<hO&Qmq@wf0G2(VYAbglQT=C9B)!5}s+!=S`5E2!t88YerfX)Wg}w=HtB"
    "K&#NK2C*xqLM*};_@^hdH?Rh=!ZBK{6)00K;V|Yj%C2R!Xs9tPbuzv$T`Mx9Eiqg&-m;Rk8K)pHUbFwORjC;u=q>rDEUR*@NG|0t"
    "h%ZK^h_}Z!hBXhc|FZckPbdSQ*fk=oMK8pwKPwL~a<h)E6)(535hA&+QlNOSyQ~;7LaPR|{4i-T4m8cIqbl(&x-S=~pegw%^c9sa"
    "z%+$5fHb0|PcnKiay479dM__D#3(GV9xmCjJS^-oJ+($L@-#`b1~9xZEG!qUc&M!~k~WvGlrwpcL$91BY$=qi2Pl0h;4zgPqbgN0"
    "tt*eMy&%G^_olijRje_tFs&CXwJ_i=MXeU5Ae5ph+bp9czAeNom8Kf1iKs}l)~sHt{vj|N$|Y_rH!a_=n6W!9FfA3K+p(!IN+vL@"
    "q_UYUVlZu;3NDTzsIsY}N1XtnUZ@$Z4=6z?52#q2VW%c9LM6GI$fTj9mo81FFe0<HK&+f5`z=K)vndO$q@&lHGA?MaI<8A36feH4"
    "_p!XDNiPp5M5y#Ez9ye4sIUhq46Mp9uBsrRI5DU%wW#hc=dr3R5Uryntt#`XVl3ONOQv2jsF9<o6ENShq^43OK(M7P(WB&@P$TFq"
    "g{Yt`*Qd8L2CY{s=c)8CbE=K8UoR^iU#zpJ+^)f|!?5!(AFi=7fG}?~_pYd}S)S0R6fD%Mpe(a0iXKiaNvyH2CaP#Ii7->CPO)n+"
    "(<o>z>oUYJAfrL6N-#AvNHE{9YO!c78z6rwkt~ZYIw-8H88SR8=qquoax9QCQZZkotfWpZA1U-Nc_xS@iK~{V?6eXqlBl$;;jtmH"
    "5+P@{i=}BTNh^x6H>{4UKr3pg(<d=Bt1y$WuP8<;ovZ#NjH|^jMYA9sb*i^7gRl&$BD2&iz$}ldN2)6`n=lHn1}m+!sFxHjt+wSf"
    "Wwib=zcZb%d!u8p3Z?`!S*Q#y{xxK?!>`w<-7&2)rX+-|bTJAs0xiI^*{yW26ffK`NVE#Mcrc7D^DcO({HUxbD+4(#rKxQ*0H%X1"
    "MyV7jSu3|LaWvK>b+B)<$}62Qi!=zahc>e@CNGe!p0K$tA}!FY#<9UM$}8xuaj=mu1GL;K1*JQzLokJ`h!J+Id$s&7Hz@U&oG}kC"
    "FD+fAr!ulI)-G_X{V2(?axzvlawxkrY%@e8mLzzqF{u`?RHHPq^Rcj_mNL65i>Vv2&oMt1@hE<=04MyW@vNAs53J0g^B*#;yCh~P"
    "tRk~50k7UJf2~<0*(tj#N41Y6!Lha|Ln&sbbFZ<aC@Qq8C!_K$lAnVhdyGLb%C14DhOT!ZDXqRNiZmpe0<m!+peWca6Dd)z6esi@"
    "3$&E7&L~4MawY{SI;;w%TQhYfg_=?@v#=SiSS3|4H7t`QcCkY%>zr{YSgtUuk1+tMIj#4zW2`zf6ukVgO0QnH#x%aO+@CQxFDA_}"
    "Rl9vSWGWD{$uz7j?y+(w=rv8WgQ-e36eU<UO0=M|H8Ri}fwSMT8a3Ip;w(Td4>Dh-MHN&s+o(jc6fyU<vb2e^>aF&(ys}ZTQZaM1"
    "y{pNsIjq$#CO1&BGP9AKDlm4mu`o@q`>s(td8ACVUoj!E`l%8$lQ$a#UAPG^rnRlOV65seQnrdQ<-Pkmb1)CMXe|`Gb-AiB>bPFB"
    "i!;_C$F!&_hp_Cl;<HjS#<KjnXEUg~m^i0AK{8*k!!aT@^sy~7ak(ZhYAqx%1GQJQdN}g6b-9YLag^aRp{_2h=PdxUDYR^}4Y@HS"
    "Ft_Kme6|!d7%h%C6uc!iFr;y!ge}{!I4w1_*Q=<K&@A&V^)A&Y%Bfeaw5V4tHmoZsqozl&s53e*x2<h8ek*UY>@4CfZ>vr%BPQ!D"
    "nk-c-sWH*7-K=f02(mb^MK74OzZse?L^L_G{U!P^^e#QNOt?s^XEe;RgRa}NAEz3yb1%HGSTi8F5T!h-5-<-kt}=2g)}?1Gd8+!O"
    "AGDDyw>LvL-m~PeIkImy=Cdj@Tdqho6R~}?cql+D*fh4h+c6lk-naX-mbC7*sW%w5xVV-jeJ)l!X}H=p*)cgdfHvc>DYw<S60{wt"
    "hOo&t`7M&LK(y&KnKa!sT(smYGb_-eR4V^EqBC(c<u&T5&#axYk2yfN9l69Rdb&!q5G_b9$~qV|!YG$A-YcN6>9n1*!!x&`EHP2C"
    "A2PNtwIe1n<1ofJ<fa!go*~CKX0-FJb}l<Mnkg17Kr?ACR5Xq_KQ_FvA~ISkJFDZRII?9Rc{V>a4X1=TYA(XFM6x?FeXa5_LNp*W"
    "2QV6=4Kr{gi!Cs-0W5;7cd@ClbF>4n$gqGgaW+{umo>pPEG>Q|#3?zRVy-4Ln=Q>V2Q950*C%YG*r<^zq%a>V0<qI81t>wX6_fHX"
    "UL+{81FS+OmaSi>Y^%{8)~I7Lh_X?wZ7=nrBCJ6%Ei9TO&nW&dL8@3P6C~6umMHkJ#HMknc%oD?12R}F{GW;|;4@h;*R0wv+$Inx"
    "F(xo2vn@EU*0tfN53g*WG_g1;o+&Q0ysZ5z%PRpb{IFIrMx^~DQLQ$t<gSvfCoJHycrE`eOBqtK=`j?feXAj=@~l0m>aN5q@T-h0"
    "SF{PQA~A<8Y&HC|D;)MRha`-(lC00IKDO1OlO(7xNU3%*F0X2#eyP$it}W21Ju}ucEVl)!a<C<?J+@2?d9$6cYcfEs8?crpZ7T6J"
    "WHcqR5UbIeX|eRIelZ3hjWE44Y$`siY_Nr}d96jRKenT@r>QEkys@aW2)HdY+P7u0s55)B!z|V^I<WyU$g$VB__EA6oVH9dNfstE"
    "yfC#dtG1A~bh6ViNWA#2#INABOCWMK<uE$Age`Bb;xP-jm$t*S>9Do0v#%7lP_@9VF)2<hK(2STo3*U7swo_@R4gU3rMR6e$+kGK"
    "Yp$y+AFxq2y1Dl-rm$5g4>ln&j4qS2Y_m})p*4B9a<U{OM6cp8da`b=3$*XIj<eV*rZ=RhT(2`Yq_nlO%d`+MF{_+4(6N!Zttzav"
    "46%GS9V)=Ezp{0%;jziEF|Hr654D9Z05SD19W_iRe7TJ@5Ft@9yfLh*oi@#}{x8ZTxU?oUGCM}FwKH)k&Z}oA87+J*5-=aCNvA-c"
    "4zR*7S}7o{2&f*RQ7XNt^Ru=xj4m!RL#J0O0Ufk7S|HE0VWIx3z_KYTb)^e0STXu9-7F2WeXRna7q`o&Q7xt<X*8oWK`@uO`yOMa"
    "nzm0aqO^6gd#w;Df3GvPBC?IJW-T!^<}Svu1htYV95k#b-ZK%5NHf<i1F-rrsjyD7WwHD)_%e<sY^xNg@GC_xdb9X1hPJ^r3bVpH"
    "jW)X~v@IUA0WSa@M6{GDqc?&w04+_joh<+}95PF?(W|mC+b(do^)oy(elQ`hP%bbqJuvPslcsL9>M}$r3$7`uOq^q{h%VAGb+DYM"
    ">7&K1R5TAWb1@3H<E&0BlndoCStr4kpR-pt|17ViHnQoke>RFR=$(HgvoipI{WTLP6{+s94<|wtg0a3V00000000000000000000"
    "000000000000000000000000000000PcRdxUb0y(HLw((E-C;3Up6K#ffisiX*Du5ts|o_000000000000000000000000000000"
    "00000000000000000000Dl(fbp{-B1n=|CAg);yEq`2xfFfjikCaz31=rc060000000000000000000000000000000000000000"
    "00000000006fCGPPpudwvMwkv`>_CkM6O&l8n2lz%&Dn0WHfT700000000000000000000000000000000000000000000000000"
    "zpzQPJh8(!xVBC)FEIdsyft7pEV6qrGPvfj0xre200000000000000000000000000000000000000000000000000O)ym~f+>G8"
    "oV4{I-!K3G!8RAQSSB4av$R35S1YzA00000000000000000000000000000000000000000000000000F|qEa3o^YiBQ8v^$}|9g"
    "ge@Gmk~L3}#WZpt;V?Nh00000000000000000000000000000000000000000000000000K_O8!6SniQVK&q(Bq{&^t+DN)zp>de"
    "uB2Hselupc00000000000000000000000000000000000000000000000000nl#F?U@M_21+`5m)-V8o-7^3y!7>iCPql@xdA5-)"
    "00000000000000000000000000000000000000000000000000hA>UBf}mYC@ucoCDK!89O|GxADmLXXXRlJR6E;3H0000000000"
    "0000000000000000000000000000000000000000rmeNI0J0`D4zotAi>d&CR<kZIDlqgkwkx!(l{Ydp00000000000000000000"
    "000000000000000000000000000000_bxOwRka+k7&E`D;3@!s*f38sy0l3%TQY$tT`~K#000000000000000000000000000000"
    "00000000000000000000_o{$2NwpocP&Krz(yRag2(?GKWV0<ag*50j(KXe%0000000000000000000000000000000000000000"
    "0000000000D>OW<5;d}|Vzp<n12zDF5HzB-m@^Z#7AvMO%dbYX00000000000000000000000000000000000000000000000000"
    "0<=CbiZiM(%&$(YZ7l!*$Tc`HJvSjKNVplQF|vCz0000000000000000000000000000000000000000000000000052tsxrzevx"
    "gShgvB{~3ro-a<Yc&Ko;L9}GL3$moN00000000000000000000000000000000000000000000000000#Iyx9{Wcn^qcni6q$vOZ"
    "fvVy(^e@aa>?Q1^z_8-3000000000000000000000000000000000000000000000000009<%+cn<#KBg)+3QAu#{|TQNPfwlbEg"
    "4X~5BIkmVc00000000000000000000000000000000000000000000000000E;j=+2r;8K{VnLTa;^XXdMswCFtAiN@-Lh$C^t?j"
    "00000000000000000000000000000000000000000000000000w={_^AvLcw7bp>>@-_efCN<(SnkeC#_cAQEd8)KC0000000000"
    "0000000000000000000000000000000000000000=rQmlEi~&gNHo(a)ieMAS~O=cA2z=%+OQd|6|m+n00000000000000000000"
    "000000000000000000000000000000Uojpu+%di}o-i4si!=ZLYcb9!NxP9ZxUb4G3^-l3000000000000000000000000000000"
    "00000000000000000000S)1#%OQ2mfxU-V65Uc<I$1}7rGc_=+Jh;j-8MLY}0000000000000000000000000000000000000000"
    "00000000007BZfx%`aTE_ph$8@hAX*aI*5Px;At&R5lznT`<2e00000000000000000000000000000000000000000000000000"
    "jikM=+%h^icChWJ*D?Tr5-ejj5Hk}m>a`oUjxnjI00000000000000000000000000000000000000000000000000y|4MLQ8?<V"
    "*sp>q9XSAihdGfV#I)tJS}`6s5wn;q00000000000000000000000000000000000000000000000000XfW-#wl;#ZBP8mu^C|#<"
    "l_Ke}L$hQuUN<#1-Zc%a00000000000000000000000000000000000000000000000000WvMJF1urhPrLujmLbCvX549q)EV95i"
    "r8Snd7Bm0000000000000000000000000000000000000000000000000000udxa>^0kAtVKIKCdbj`p2)WibSGCJGLo!UcOEX)v"
    "00000000000000000000000000000000000000000000000000+q1^6Ixv?oKDB=^i8la%$2OO;Gd2jOGPWeS?6~9@0000000000"
    "0000000000000000000000000000000000000000bG*+suO*(XCodkc2`~VF8=^_ICn#g7A~!fNJuvL700000000000000000000"
    "000000000000000000000000000000doh@=!mul@<fOu=nyLT*;;%F`NG2~d3^cYd39Wi4000000000000000000000000000000"
    "000000000000000000000000000000000000000000000000000000000000ATIl{K`}k8t1#}eTrg2GAutWFi7_B4<}r;kJS*Qb"
    "`79wcqBK0S0000000000000000000000000000000000000000ur)9*TQ&JHi!a!#xG+DX*RnJ<%&jOhC$*}z>ozqlsxNM=SG377"
    "0000000000000000000000000000000000000000{3t6dl`TNDS+w7<D<|GA8?6<wek&ZXJtIFgMzkO<8!QSf4mMb=0000000000"
    "000000000000000000000000000000E38y3N;HQx9Wd24q%ugU0<VBJu%@Ci_%qwJFgz?U<udKC_^!(~00000000000000000000"
    "00000000000000000000p0J5DLNod-X*F&vz%ypBxwS?%Aud`scrV7W!Zil7yQnd*dn?f}000000000000000000000000000000"
    "0000000000POo(^bu@l5>MC#+Uo-L}d$>@ktgt$-z&KH~LbxflTr{CEF}0RB0000000000000000000000000000000000000000"
    "1Tcs&Yc^>tL^#&4AR%Y0u{4>nz%Upymoxw~K&c!t5hy-5(JCyo0000000000000000000000000000000000000000Kc&GiXs_Zc"
    "<gu(U<Fhv`b1*ru0WN5`Shox)=(sp9&9T%q@2!2a0000000000000000000000000000000000000000_b0$AHKfopBC@xzPOo#f"
    "4X+OzQnJ*l?=@5}inLiY%`|DTO}1$<0000000000000000000000000000000000000000hO*4G>9WL>b*elgOezsGXgD6XVK(Bl"
    "Ub1|uhP6MU6Sg?A-LRA~0000000000000000000000000000000000000000ST<dt5};x&w=}J;BC1F*t~Qn~e>C4T*C{_VYNnMU"
    "AugmaQa3uK0000000000000000000000000000000000000000m7ub!AFZyoEV#0<H?STmX{W|6!7voM+^pp`sI`BxR4l18$2EF1"
    "0000000000000000000000000000000000000000!zNNR=B}SKlry`sAuhtK7PM=nJsnmx;Ilq3w=Fd*IWs9LJ~pm40000000000"
    "000000000000000000000000000000gSH~5BCPVY7OX)iEHKM6kTo7G^)<=439^Sb-nf1=^|Cazb+j)m00000000000000000000"
    "00000000000000000000axaH6P^t$p<TpJw6*X5iH8D4}E+9}dOeuRTzpOX1?KIu7dA1X-000000000000000000000000000000"
    "0000000000y|dXY61es*0v@X>E2vvCr#FbVxh;D%YOumB`>={P=PXAh4XN6(0000000000000000000000000000000000000000"
    "{x&r%@F})2aWEq_<FH*gn>6$_A~No^BD6=WBeMRn<Ph>S^{V?e0000000000000000000000000000000000000000yseoobEkHt"
    "o21CH(lHV?RyQ=X5;V)Ta<Qs1!M5Nr1u!Z!HLvZg0000000000000000000000000000000000000000ys%$4>Y|P@3$Zw~m$BBg"
    ">ZMCC8!v9Qb23b|?5h1JA+Gqg{I-3t0000000000000000000000000000000000000000Xs~h=Vl<;O87wfhX)-3R{-nw=>9Yeg"
    "1+d_#DKI9aPc=lZleCPe0000000000000000000000000000000000000000<FDp6e=|iXQ!Oqqs4WJnC@vy2MKTmO!Y-s4CpaZC"
    "Kr`c{JFAT_000000000000000000000000000000000000000039O4LqcHL+2q=K9voZg&1gCg4rz~PK9;HSsWwCp;@GCs9A-G>J"
    "0000000000000000000000000000000000000000#j6iCPBzZ5j4)=45V8xd87L7kqA@fzB&mnD2rhW1V6N{rZL>460000000000"
    "000000000000000000000000000000BPN<BtTlf$Br9z!j4jM8eJ}1ZhcMQwfHc1>;5QQ~!?9Jf+%;k}00000000000000000000"
    "00000000000000000000nXRBQ#V~j>0j_K<WG=chw=mc)`XskC^s~=3QLJ^ar7UT-m$C!4000000000000000000000000000000"
    "0000000000j<6ppy)CmdF)lK)OSBWSo3KBuz%7ZjU9<o*1TDuJZ!?X!PcC(?0000000000000000000000000000000000000000"
    "60I5>X|ugEcc3+~P^|DX)G^AjkTfGSr>MWC0j?q|LoMwvZ!sb$0000000000000000000000000000000000000000rnLews5SmB"
    "KPf*ZtTgK_LO1y^+Opp>jkG{CRX3ZmWh^x|sWir`0000000000000000000000000000000000000000`l|UfF*HG`$S?(`nKS6G"
    "!mKPWA}cgEhA>bpHZWl^u{4se$*qd00000000000000000000000000000000000000000Ga3c6;iC64l{Rgy#jjzq@~{sx{IF~^"
    "&oP#zO*y|YDKq367P9Iv0000000000000000000000000000000000000000Ju*_U-Y9{v)-+i%0x!+545z3rye}CuBsUc^*eyZ1"
    "kFuIHyttY#0000000000000000000000000000000000000000iLc@<yeZc)&#@pe=dxrqdo7)`I5PpT2&il@+PL>3-mC+$@u;b-"
    "0000000000000000000000000000000000000000vbUiri!(1VE-gf`2s0+A8j3PBJFd+!_crCLS~TUf04~n1Ai6d-0000000000"
    "000000000000000000000000000000bTZI2sxjIt@UW+@2r)V|5v;Q^-xKsVz9x_^11lZ0*)&=-8?m9R00000000000000000000"
    "00000000000000000000IHX-E5;3hUYb+Hq6fifpi>tyk=&2L5Ag^DnR4LIU<*-<}Rjwm8000000000000000000000000000000"
    "0000000000hp;&>_bw159W}`^^ss?47%{xC-!WjgF|c4Wr?u`bC9wz`&?zaf0000000000000000000000000000000000000000"
    "jWBdEX)+Nt^)!dF-ZXr*nY7t5_qF-9<D@*b$G3^MDk(FdTrr0=0000000000000000000000000000000000000000{;mx)Uy&26"
    "Y%qH!2{+9yB{GDm9JW9<PBNjg`n1@vq%`gvR<~X@0000000000000000000000000000000000000000g||{J9j{KOK`@snS}tR;"
    "YOrZAy|H*R<}!$|i7?YF*fu%2j5B{Q0000000000000000000000000000000000000000lQVO!3p1{=hqMMV0W6R(e>Dg+;4(_M"
    "NhlLFbuAez`m&0z>afPH4y;n8NG%R2UlEb1lr$-%jw(JY#Vn02<FKt9t}kyO`>j+n5HU6|xGx;BOfRM#=O{Wbk*Or8D=egp#<hE~"
    "ZZP~RPBbzx88oXgF0>D|#x>C}m9zi=<*u$ZinQ7>6g0p!BQ%S(&NNoD-L4j}1+VBXrL7$`2QRd(A26e_4Y7JN7`7HOW3Ib4AUK_{"
    "4Xy"
)
WEIGHTS = _unpack(_TEXT, _SIDES)
