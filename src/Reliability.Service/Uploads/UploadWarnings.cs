using System.Globalization;

namespace Reliability.Service.Uploads;

/// <summary>What to watch in an uploaded file.</summary>
internal static class UploadWarnings
{
    /// <summary>Codes of warnings.</summary>
    public const string FutureTimes = "FUTURE_TIMES", RejectedRowsNotKept = "REJECTED_ROWS_NOT_KEPT";

    public static IEnumerable<V1.Warning> Of(long inFuture, long rejected)
    {
        if (inFuture > 0)
        {
            yield return new()
            {
                Code = FutureTimes,
                Text = string.Create(
                    CultureInfo.InvariantCulture, $"{inFuture:N0} {(inFuture == 1 ? "event lies" : "events lie")} more than a day ahead of the service's clock, taken as they stand."),
            };
        }

        if (rejected > UploadLimits.MaxKeptRows)
        {
            yield return new()
            {
                Code = RejectedRowsNotKept,
                Text = string.Create(
                    CultureInfo.InvariantCulture, $"Only the first {UploadLimits.MaxKeptRows:N0} of {rejected:N0} rejected rows are kept."),
            };
        }
    }
}
