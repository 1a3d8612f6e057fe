# Maximum likelihood for the coupons, written out anew: what CouponTests expects. Run by hand: Rscript estimates.R
t <- scan("coupons.txt", quiet = TRUE)
cat(length(t), mean(t), var(t), "\n")
nll <- function(p, t, d){ a<-exp(p[1]); b<-exp(p[2]); u<-sqrt(t/b); z<-(u-1/u)/a
 ld <- dnorm(z,log=TRUE)+log((u+1/u)/(2*a*t)); ls <- pnorm(z,lower.tail=FALSE,log.p=TRUE)
 -sum(ifelse(d,ld,ls)) }
f <- function(t,d){ o<-optim(c(log(.2),log(130)),nll,t=t,d=d,method="BFGS",hessian=TRUE,control=list(reltol=1e-16,maxit=1000)); o<-optim(o$par,nll,t=t,d=d,method="BFGS",hessian=TRUE,control=list(reltol=1e-16,ndeps=rep(1e-5,2)))
 V<-solve(o$hessian); p<-exp(o$par); cat(sprintf("alpha %.8f se %.8f beta %.6f se %.6f ll %.8f\n",p[1],p[1]*sqrt(V[1,1]),p[2],p[2]*sqrt(V[2,2]),-o$value))
 z<-qnorm(c(.1,.5)); q<-p[2]*(p[1]*z/2+sqrt((p[1]*z/2)^2+1))^2; cat(sprintf("B10 %.6f B50 %.6f mean %.6f\n",q[1],q[2],p[2]*(1+p[1]^2/2)))}
f(t,rep(TRUE,101))
d <- t<=150; f(pmin(t,150),d)
