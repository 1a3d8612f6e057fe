using Xunit;

namespace Reliability.EndToEnd.Faults;

/// <summary>Tests that compare with one clean load, made once for all of them.</summary>
[CollectionDefinition]
public sealed class AgainstCleanLoad : ICollectionFixture<CleanLoad>;
