namespace Reliability.Service.Uploads;

/// <summary>Bounds how many uploads are under way at once.</summary>
internal sealed class UploadSlots : IDisposable
{
    private readonly SemaphoreSlim _free = new(UploadLimits.MaxAtOnce);

    public bool TryTake() => _free.Wait(0);

    public void GiveBack() => _free.Release();

    public void Dispose() => _free.Dispose();
}
