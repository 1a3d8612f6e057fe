using System.Text.Json;

namespace Reliability.Reference;

/// <summary>The Weibull with location of a case: its maximum with shape above 1, and the profile over the location.</summary>
public sealed class ReferenceWeibull3(JsonElement element)
{
    private readonly JsonElement _maximum = element.GetProperty("local_maxima")[0];

    public double LogLikelihood => _maximum.GetProperty("loglik").GetDouble();

    /// <summary>Twice the log-likelihood gained over location 0.</summary>
    public double RatioToLocationZero => element.GetProperty("lr_vs_location_0").GetDouble();

    /// <summary>Covariance of shape, scale and location, row-major.</summary>
    public IReadOnlyList<double> Covariance =>
        [.. _maximum.GetProperty("cov_natural").EnumerateArray().SelectMany(r => r.EnumerateArray()).Select(e => e.GetDouble())];

    /// <summary>The greatest log-likelihood at each location and the shape there.</summary>
    public IReadOnlyList<(double Location, double LogLikelihood, double Shape)> Profile
    {
        get
        {
            var profile = element.GetProperty("profile");
            return [.. Numbers(profile, "location").Zip(Numbers(profile, "loglik"), Numbers(profile, "shape"))];
        }
    }

    public double Parameter(string name) => _maximum.GetProperty("parameters").GetProperty(name).GetDouble();

    private static IEnumerable<double> Numbers(JsonElement of, string key) =>
        of.GetProperty(key).EnumerateArray().Select(e => e.GetDouble());
}
