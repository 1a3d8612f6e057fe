"""A life model in Python: the inverse Gaussian (R. S. Chhikara and J. L. Folks, "The inverse Gaussian distribution as a lifetime
model", Technometrics 19, 1977, 461-468), the time at which wear that drifts and diffuses first reaches a limit.

    f(t) = sqrt(shape / (2 pi t^3)) exp(-shape (t - mean)^2 / (2 mean^2 t)),   mean, shape > 0 in hours
    R(t) = Phi(a) - exp(2 shape / mean) Phi(b),   a = sqrt(shape / t) (1 - t / mean),  b = -sqrt(shape / t) (1 + t / mean)

The service starts this program and tells it in RELIABILITY_PLUGIN_SOCKET where to listen. It needs Python's gRPC and protobuf alone.
"""

import math
import os
import sys
import threading
from concurrent import futures

import grpc

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "generated"))
from reliability.plugin.v1 import description_pb2 as description  # noqa: E402
from reliability.plugin.v1 import evaluation_pb2 as evaluation  # noqa: E402
from reliability.plugin.v1 import life_model_plug_in_service_pb2_grpc as service  # noqa: E402

FAMILY = "inverse-gaussian"
HALF_LOG_TWO_PI = 0.5 * math.log(2 * math.pi)


def log_normal_tail(x):
    """log of 1 - Phi(x); beyond 25 by its asymptotic series (Abramowitz and Stegun 1964, 26.2.12), where erfc would soon be 0."""
    if x < 25:
        return math.log(0.5 * math.erfc(x / math.sqrt(2)))
    y = 1 / (x * x)
    return -0.5 * x * x - HALF_LOG_TWO_PI - math.log(x) + math.log1p(-y * (1 - 3 * y * (1 - 5 * y * (1 - 7 * y))))


def log_density(mean, shape, t):
    away = (t - mean) / mean
    return 0.5 * math.log(shape) - HALF_LOG_TWO_PI - 1.5 * math.log(t) - shape * away * away / (2 * t)


def parts(mean, shape, t):
    """The logs of Phi(a), of 1 - Phi(a) and of exp(2 shape / mean) Phi(b). The last is put together before anything is exponentiated."""
    root = math.sqrt(shape / t)
    a, b = root * (1 - t / mean), root * (1 + t / mean)
    return log_normal_tail(-a), log_normal_tail(a), 2 * shape / mean + log_normal_tail(b)


def log_survival(mean, shape, t):
    if t <= 0:
        return 0.0
    alive, failed, second = parts(mean, shape, t)
    # Near 1 from what has failed, else as the difference of the two terms; far out that difference loses digits, and all of them where the
    # terms agree to the last one: there R is the density times Mills' ratio, hazard shape / (2 mean^2) as t grows (Chhikara and Folks, 3).
    total = math.exp(failed) + math.exp(second)
    if total < 0.5:
        return math.log1p(-total)
    drop = second - alive
    if drop < -1e-9:
        return alive + math.log(-math.expm1(drop))
    return log_density(mean, shape, t) + math.log(2 * mean * mean / shape)


def quantile(mean, shape, p):
    """The age by which p has failed: bisection on log t, then it is as near as two doubles."""
    wanted = math.log1p(-p)
    low, high = math.log(mean), math.log(mean)
    while log_survival(mean, shape, math.exp(low)) < wanted:
        low -= 1
    while log_survival(mean, shape, math.exp(high)) > wanted:
        high += 1
        if high > 700:
            return math.inf
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        if log_survival(mean, shape, math.exp(middle)) > wanted:
            low = middle
        else:
            high = middle
    return math.exp(0.5 * (low + high))


class Plugin(service.LifeModelPlugInServiceServicer):
    def Describe(self, request, context):
        def positive(name):
            return description.ParameterDescription(
                name=name, unit="hours", lower=0, transform=description.PARAMETER_TRANSFORM_LOG)

        return description.DescribeResponse(
            id="example-inverse-gaussian",
            version="1.0.0",
            publisher="Example in Python",
            families=[description.FamilyDescription(
                id=FAMILY,
                display_name="Inverse Gaussian",
                source="Chhikara and Folks 1977",
                parameters=[positive("mean"), positive("shape")],
                scale_equivariant=True,
                has_mean=True,
                plot=description.PlotScale(
                    hours=description.HOURS_SCALE_LOG,
                    fraction=description.FRACTION_SCALE_OWN,
                    straight_parameters=[1000, 1000]))])

    def Evaluate(self, request, context):
        if request.family != FAMILY:
            context.abort(grpc.StatusCode.INVALID_ARGUMENT, "family must be " + FAMILY)
        response = evaluation.EvaluateResponse()
        for batch in request.batches:
            mean, shape = batch.parameters
            result = response.results.add()
            result.log_densities.extend(log_density(mean, shape, t) for t in batch.density_hours)
            result.log_survivals.extend(log_survival(mean, shape, t) for t in batch.survival_hours)
            result.quantiles.extend(quantile(mean, shape, p) for p in batch.quantile_fractions)
            if batch.mean:
                result.mean = mean
        return response


def main():
    server = grpc.server(futures.ThreadPoolExecutor(max_workers=2))
    service.add_LifeModelPlugInServiceServicer_to_server(Plugin(), server)
    server.add_insecure_port("unix:" + os.environ["RELIABILITY_PLUGIN_SOCKET"])
    server.start()
    # The host holds the other end of standard input: when it has gone, so has the reason to run.
    threading.Thread(target=lambda: (sys.stdin.buffer.read(), server.stop(0)), daemon=True).start()
    server.wait_for_termination()


if __name__ == "__main__":
    main()
