# Maximum likelihood for the coupons, written out anew: what CouponTests expects. Run by hand: Rscript estimates.R
t <- c(70,90,96,97,99,100,103,104,104,105,107,108,108,108,109,109,112,112,113,114,114,114,116,119,120,120,120,121,121,123,124,124,124,124,124,128,128,129,129,130,130,130,131,131,131,131,131,132,132,132,133,134,134,134,134,134,136,136,137,138,138,138,139,139,141,141,142,142,142,142,142,142,144,144,145,146,148,148,149,151,151,152,155,156,157,157,157,157,158,159,162,163,163,164,166,166,168,170,174,196,212)
cat(length(t), mean(t), var(t), "\n")
nll <- function(p, t, d){ a<-exp(p[1]); b<-exp(p[2]); u<-sqrt(t/b); z<-(u-1/u)/a
 ld <- dnorm(z,log=TRUE)+log((u+1/u)/(2*a*t)); ls <- pnorm(z,lower.tail=FALSE,log.p=TRUE)
 -sum(ifelse(d,ld,ls)) }
f <- function(t,d){ o<-optim(c(log(.2),log(130)),nll,t=t,d=d,method="BFGS",hessian=TRUE,control=list(reltol=1e-16,maxit=1000)); o<-optim(o$par,nll,t=t,d=d,method="BFGS",hessian=TRUE,control=list(reltol=1e-16,ndeps=rep(1e-5,2)))
 V<-solve(o$hessian); p<-exp(o$par); cat(sprintf("alpha %.8f se %.8f beta %.6f se %.6f ll %.8f\n",p[1],p[1]*sqrt(V[1,1]),p[2],p[2]*sqrt(V[2,2]),-o$value))
 z<-qnorm(c(.1,.5)); q<-p[2]*(p[1]*z/2+sqrt((p[1]*z/2)^2+1))^2; cat(sprintf("B10 %.6f B50 %.6f mean %.6f\n",q[1],q[2],p[2]*(1+p[1]^2/2)))}
f(t,rep(TRUE,101))
d <- t<=150; f(pmin(t,150),d)
