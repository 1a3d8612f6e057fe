using Reliability.Engine.Abstractions;

namespace Reliability.Service.Tests.Work;

/// <summary>A plug-in that brings one family, of its own id.</summary>
internal sealed class OneFamilyPlugIn(ILifeFamily family) : ILifeModelPlugIn
{
    public string Id => family.Id;

    public string Version => "1.0.0";

    public string Publisher => "tests";

    public IReadOnlyList<PublishedFamily> Families { get; } = [new(family, "made for a test")];
}
