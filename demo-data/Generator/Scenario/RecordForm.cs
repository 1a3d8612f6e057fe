namespace Reliability.DemoData.Scenario;

/// <summary>The form in which a hospital keeps its records.</summary>
internal enum RecordForm
{
    /// <summary>Every event of every module.</summary>
    Events,

    /// <summary>A plain sheet: a row a life.</summary>
    Sheet,
}
