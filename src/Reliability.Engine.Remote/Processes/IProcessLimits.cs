namespace Reliability.Engine.Remote.Processes;

/// <summary>What holds a plug-in's processes to their memory and processors.</summary>
internal interface IProcessLimits : IDisposable
{
    /// <summary>How they are held, for the log.</summary>
    string Means { get; }

    /// <summary>Looks at the processes; called some times a second by one thread.</summary>
    /// <returns>Why they must end, in words for a caller; null while they may go on.</returns>
    string? Check();

    /// <summary>Why processes that have ended were ended by the system for these limits; null when they were not.</summary>
    string? EndedBy();
}
