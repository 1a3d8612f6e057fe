namespace Reliability.Plots.Sheets;

/// <summary>A plot cannot be drawn or saved. The message says why, for people.</summary>
public sealed class PlotException : Exception
{
    /// <summary>Creates the exception.</summary>
    public PlotException()
    {
    }

    /// <summary>Creates the exception.</summary>
    /// <param name="message">Why, for people.</param>
    public PlotException(string message)
        : base(message)
    {
    }

    /// <summary>Creates the exception.</summary>
    /// <param name="message">Why, for people.</param>
    /// <param name="innerException">What it came from.</param>
    public PlotException(string message, Exception innerException)
        : base(message, innerException)
    {
    }
}
